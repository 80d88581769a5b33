//! How many more restacks reach the target.
