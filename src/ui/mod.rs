//! The screen, pure: model, message, update, draw.
