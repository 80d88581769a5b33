//! The forging plan: goal, steels, shop, first stack and steps; its file and its review.
