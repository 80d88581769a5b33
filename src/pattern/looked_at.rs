//! Pictures to be looked at: `cargo test --release pictures_to_look_at -- --ignored`, then open the
//! files that it names.

use std::sync::Arc;

use super::samples::{Shop, look, shape};
use super::*;

fn save(name: &str, picture: &Picture) {
    let path = std::env::temp_dir().join(format!("look-{name}.png"));
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, picture.width, picture.height);
    encoder.set_color(png::ColorType::Grayscale);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header().unwrap();
    let data: Vec<u8> = picture
        .pixels
        .iter()
        .map(|p| {
            let m = f64::from(p.metal) / 255.0;
            tone::screen(m * f64::from(p.light) + (1.0 - m) * 0.85)
        })
        .collect();
    writer.write_image_data(&data).unwrap();
    drop(writer);
    let mut file = std::fs::File::create(&path).unwrap();
    std::io::Write::write_all(&mut file, &bytes).unwrap();
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
            save(
                &format!("{name}-{}", view.word().replace(' ', "-")),
                &scene.render(),
            );
        }
    }
}
