//! Pages of HTML, looked at as a checker would.

/// Every tag is closed by its own, in order: the void elements are those of the HTML standard, 13.1.2.
pub fn nests(html: &str) {
    let mut open: Vec<&str> = Vec::new();
    for part in html.split('<').skip(1) {
        let tag = part.split('>').next().unwrap();
        let name = tag
            .trim_start_matches('/')
            .split([' ', '\n'])
            .next()
            .unwrap();
        match tag.chars().next().unwrap() {
            '!' => {}
            '/' => assert_eq!(open.pop(), Some(name)),
            _ if ["meta", "br", "link", "hr", "img"].contains(&name) => {}
            _ => open.push(name),
        }
    }
    assert!(open.is_empty(), "{open:?}");
}

/// What stands between a start and the next end of it, every time.
pub fn each<'h>(html: &'h str, from: &str, to: &str) -> Vec<&'h str> {
    let parts = html.split(from).skip(1);
    parts.map(|part| part.split(to).next().unwrap()).collect()
}

/// Text as it reads, without its tags.
pub fn words(html: &str) -> String {
    let mut out = String::new();
    for (n, part) in html.split('<').enumerate() {
        let text = if n == 0 {
            part
        } else {
            part.split_once('>').map_or("", |(_, text)| text)
        };
        out.push_str(text);
    }
    out.replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"")
        .replace("&amp;", "&")
}

/// Relative luminance of `#rrggbb`: WCAG 2.1, "relative luminance".
fn luminance(colour: &str) -> f64 {
    let part = |at: usize| {
        let value = f64::from(u8::from_str_radix(&colour[at..at + 2], 16).unwrap()) / 255.0;
        if value <= 0.04045 {
            value / 12.92
        } else {
            ((value + 0.055) / 1.055).powf(2.4)
        }
    };
    0.2126 * part(1) + 0.7152 * part(3) + 0.0722 * part(5)
}

/// Contrast of two colours: WCAG 2.1, "contrast ratio".
pub fn contrast(one: &str, two: &str) -> f64 {
    let (one, two) = (luminance(one) + 0.05, luminance(two) + 0.05);
    one.max(two) / one.min(two)
}

/// What every page of the house keeps to: well-formed, one first heading and the others in order, a way past
/// the head, a language, nothing from outside, no script, colours that can be read.
pub fn is_sound(html: &str) {
    nests(html);
    assert!(html.starts_with("<!DOCTYPE html><html lang=\"en-GB\">"));
    for banned in [
        "<script", "http:", "https:", "@import", "url(", "<link", "<iframe", " onload", " onclick",
    ] {
        assert!(!html.contains(banned), "{banned}");
    }
    for source in each(html, " src=\"", "\"") {
        assert!(source.starts_with("data:image/png;base64,"), "{source}");
    }
    let levels: Vec<u32> = each(html, "<h", ">")
        .iter()
        .filter_map(|tag| tag.chars().next().unwrap().to_digit(10))
        .collect();
    assert_eq!(
        levels.iter().filter(|level| **level == 1).count(),
        1,
        "{levels:?}"
    );
    assert_eq!(levels[0], 1);
    for two in levels.windows(2) {
        assert!(two[1] <= two[0] + 1, "{levels:?}");
    }
    let ids = each(html, " id=\"", "\"");
    let mut once = ids.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), ids.len(), "an id stands twice: {ids:?}");
    for to in each(html, " href=\"#", "\"") {
        assert!(ids.contains(&to), "nothing is called {to}");
    }
    assert!(html.contains("href=\"#main\"") && html.contains("<main id=\"main\">"));
    colours_can_be_read(html);
}

/// Text 4.5 to 1 against its ground, lines and marks 3 to 1 (WCAG 2.1, 1.4.3 and 1.4.11), light and dark.
fn colours_can_be_read(html: &str) {
    assert!((contrast("#ffffff", "#000000") - 21.0).abs() < 1e-9);
    let style = each(html, "<style>", "</style>")[0];
    let schemes = each(style, ":root{", "}");
    assert_eq!(schemes.len(), 2);
    for scheme in schemes {
        let colour = |name: &str| {
            let after = scheme.split(&format!("--{name}:")).nth(1).unwrap();
            after[..7].to_owned()
        };
        let text = [
            ("ink", "paper"),
            ("soft", "paper"),
            ("one", "paper"),
            ("two", "paper"),
        ];
        let marks = [
            ("line", "paper"),
            ("one", "range"),
            ("two", "range"),
            ("line", "box"),
        ];
        let boxed = [("ink", "box"), ("ink", "range"), ("soft", "range")];
        let texts = text.into_iter().chain(boxed).map(|pair| (pair, 4.5));
        for ((one, two), least) in texts.chain(marks.map(|pair| (pair, 3.0))) {
            let found = contrast(&colour(one), &colour(two));
            assert!(found >= least, "{one} on {two}: {found:.2}, {least} wanted");
        }
    }
}
