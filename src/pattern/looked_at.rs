//! Pictures to be looked at: `cargo test --release pictures_to_look_at -- --ignored`, then open the
//! files that it names.

use std::sync::Arc;

use super::samples::{Shop, look, shape};
use super::*;

fn write(name: &str, bytes: &[u8]) {
    let path = std::env::temp_dir().join(format!("look-{name}"));
    let mut file = std::fs::File::create(&path).unwrap();
    std::io::Write::write_all(&mut file, bytes).unwrap();
    println!("{}", path.display());
}

#[test]
#[ignore = "writes pictures for the eye"]
fn pictures_to_look_at() {
    let chef = shape(210.0, 46.0, 3.0, 1.2);
    let hunter = shape(101.0, 28.0, 4.5, 2.0);
    let petty = shape(150.0, 28.0, 2.6, 1.2);
    for (name, shop, blade) in [
        ("random", Shop::random(), chef),
        ("ladder", Shop::ladder(), hunter),
        ("raindrop", Shop::raindrop(), hunter),
        ("twist", Shop::twist(), shape(120.0, 24.0, 3.0, 1.5)),
        ("turned", Shop::turned(), petty),
        ("feather", Shop::feather(), shape(180.0, 36.0, 4.0, 1.5)),
        ("three", Shop::three_layer(), shape(180.0, 42.0, 3.5, 1.5)),
    ] {
        let chain = Arc::new(Chain::new(&shop.first, &shop.history, Hand::default()));
        let look = look();
        let views = [
            (View::Blade(blade), [1600, 420]),
            (View::Face, [1600, 260]),
            (View::End, [600, 400]),
            (View::Side, [1600, 120]),
        ];
        for (view, size) in views {
            let scene = Scene::new(Arc::clone(&chain), view, &look, size);
            let panel = Panel {
                picture: scene.render(),
                caption: vec![format!("{}, {}", name, view.word()), "seed 1".to_owned()],
                cuts: vec![0.25, 0.5],
            };
            let sheet = Sheet::single(name, &panel);
            let file = format!("{name}-{}", view.word().replace(' ', "-"));
            write(&format!("{file}.png"), &sheet.png().unwrap());
            if name == "ladder" {
                write(&format!("{file}.svg"), sheet.svg().unwrap().as_bytes());
            }
        }
    }
}

/// Every step of one billet on one sheet.
#[test]
#[ignore = "writes pictures for the eye"]
fn a_strip_to_look_at() {
    for (name, shop, blade) in [
        ("ladder", Shop::ladder(), shape(101.0, 28.0, 4.5, 2.0)),
        ("turned", Shop::turned(), shape(150.0, 28.0, 2.6, 1.2)),
    ] {
        let look = look();
        let panels: Vec<Panel> = (1..=shop.history.len())
            .map(|n| {
                let part = &shop.history[..n];
                let chain = Arc::new(Chain::new(&shop.first, part, Hand::default()));
                let view = if n == shop.history.len() {
                    View::Blade(blade)
                } else {
                    View::End
                };
                let scene = Scene::new(chain, view, &look, [300, 220]);
                let made = part[n - 1].made.kind().title();
                Panel {
                    picture: scene.render(),
                    caption: vec![format!("{n}. {made}")],
                    cuts: Vec::new(),
                }
            })
            .collect();
        let sheet = Sheet::strip(&format!("{name}, step by step"), &panels, 5);
        write(&format!("{name}-strip.png"), &sheet.png().unwrap());
    }
}
