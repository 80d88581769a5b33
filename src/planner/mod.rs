//! What to do about it: forecasts, ways out, drafts. Suggestions, never silent changes.
