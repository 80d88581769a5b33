//! Keys typed, screen and journal looked at.

mod common;

use common::Desk;

#[test]
fn look() {
    let mut desk = Desk::sample("kitchen-pair");
    println!("{}", desk.screen(80, 24));
    desk.keys("+");
    println!("{}", desk.screen(80, 24));
}
