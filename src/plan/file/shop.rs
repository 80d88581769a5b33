//! `[shop]`: machines and allowances, with what is common where the plan is silent.

use super::fill::fill;
use super::names::Steels;
use super::section::Section;
use crate::plan::keys::{SHOP, docs, usual_shop};
use crate::plan::{Place, Shop};

pub(super) fn read(top: &Section<'_>, places: &mut Vec<(String, Place)>) -> Shop {
    let mut shop = usual_shop(top.doc.units.get());
    let Some(section) = top.table("shop", "[shop]", docs(SHOP, &mut shop.clone())) else {
        return shop;
    };
    section.note("shop", places);
    fill(&section, &Steels::default(), SHOP, &mut shop);
    one_machine(&section);
    shop
}

fn one_machine(section: &Section<'_>) {
    let stated = ["press", "hammer", "hand"]
        .into_iter()
        .filter_map(|key| section.get(key))
        .filter(|node| node.value.as_bool() != Some(false));
    for node in stated.skip(1) {
        let what = format!("{} {} is a second machine", node.key, node.quote());
        node.refuse(
            what,
            "keep the one that does the drawing out: press, hammer or hand",
        );
    }
}
