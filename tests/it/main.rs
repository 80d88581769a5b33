//! Everything that is tested through the library or a single call of the program. What needs a
//! terminal is in `tests/pty`.

#[path = "../common/mod.rs"]
mod common;

mod agreement;
mod among;
mod architecture;
mod ask;
mod bars;
mod campaign;
mod carbon_across;
mod cards;
mod cast;
mod check_command;
mod checks;
mod clocks;
mod constructions;
mod diffusion;
mod draft;
mod drafted;
mod entered;
mod foresight;
mod found;
mod grids;
mod heat_laws;
mod keys;
mod like;
mod numbers;
mod oracle;
mod outside;
mod papers;
mod photographs;
mod picture_cmd;
mod pictures;
mod pictures_screen;
mod pieces;
mod plan_errors;
mod plan_fuzz;
mod plan_keys;
mod plan_pages;
mod plans;
mod power;
mod presses;
mod record;
mod record_page;
mod scenarios;
mod screens;
mod screenshots;
mod sections;
mod sheet;
mod shelf;
mod shop;
mod situation;
mod text;
mod typed;
mod words;
