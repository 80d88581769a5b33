//! The subcommands.
