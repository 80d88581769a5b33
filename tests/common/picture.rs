//! A drawn screen as an SVG picture and as text.

use ratatui::buffer::Buffer;
use ratatui::style::{Color, Modifier};

/// Width and height of a cell in the picture.
const CELL: (u32, u32) = (9, 18);

/// Ground and text of the imagined terminal.
const GROUND: &str = "#111315";
const TEXT: &str = "#e6e6e6";

fn escape(c: &str) -> String {
    c.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

/// Red, green and blue of a colour of the 256-colour cube and grey ramp (xterm's own table; the first sixteen belong
/// to the terminal and have no fixed value).
pub fn rgb(color: Color) -> Option<(u8, u8, u8)> {
    let Color::Indexed(n) = color else {
        return None;
    };
    if n < 16 {
        return None;
    }
    if n >= 232 {
        let v = 8 + (n - 232) * 10;
        return Some((v, v, v));
    }
    let step = |i: u8| if i == 0 { 0 } else { 55 + 40 * i };
    let n = n - 16;
    Some((step(n / 36), step(n / 6 % 6), step(n % 6)))
}

fn css(color: Color, default: &str) -> String {
    if let Some((r, g, b)) = rgb(color) {
        return format!("#{r:02x}{g:02x}{b:02x}");
    }
    match color {
        Color::Cyan => "#4ec9d8".to_owned(),
        Color::Yellow => "#d7ba4e".to_owned(),
        Color::Magenta => "#c586c0".to_owned(),
        Color::Rgb(r, g, b) => format!("#{r:02x}{g:02x}{b:02x}"),
        _ => default.to_owned(),
    }
}

/// The screen as SVG.
pub fn svg(buffer: &Buffer) -> String {
    let (w, h) = CELL;
    let (columns, rows) = (u32::from(buffer.area.width), u32::from(buffer.area.height));
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}\" height=\"{1}\" viewBox=\"0 0 {0} {1}\" \
         font-family=\"DejaVu Sans Mono, Menlo, Consolas, monospace\" font-size=\"15\">\n\
         <rect width=\"{0}\" height=\"{1}\" fill=\"{GROUND}\"/>\n",
        columns * w,
        rows * h
    );
    for y in 0..buffer.area.height {
        let mut x = 0;
        while x < buffer.area.width {
            let cell = &buffer[(x, y)];
            let reversed = cell.modifier.contains(Modifier::REVERSED);
            let (mut fg, mut bg) = (css(cell.fg, TEXT), css(cell.bg, GROUND));
            if reversed {
                std::mem::swap(&mut fg, &mut bg);
            }
            // One run of cells that look alike.
            let mut end = x;
            let mut words = String::new();
            while end < buffer.area.width {
                let next = &buffer[(end, y)];
                let same =
                    next.fg == cell.fg && next.bg == cell.bg && next.modifier == cell.modifier;
                if !same {
                    break;
                }
                words.push_str(next.symbol());
                end += 1;
            }
            let (left, top) = (u32::from(x) * w, u32::from(y) * h);
            let wide = u32::from(end - x) * w;
            if bg != GROUND {
                out.push_str(&format!(
                    "<rect x=\"{left}\" y=\"{top}\" width=\"{wide}\" height=\"{h}\" fill=\"{bg}\"/>\n"
                ));
            }
            let mut plain = String::new();
            for (n, c) in words.chars().enumerate() {
                let at = left + u32::try_from(n).unwrap_or(0) * w;
                match block(c) {
                    Some((dy, dh, opacity)) => {
                        plain.push(' ');
                        out.push_str(&format!(
                            "<rect x=\"{at}\" y=\"{}\" width=\"{w}\" height=\"{}\" fill=\"{fg}\" opacity=\"{opacity}\"/>\n",
                            top + dy,
                            dh
                        ));
                    }
                    None => plain.push(c),
                }
            }
            if !plain.trim().is_empty() {
                let bold = if cell.modifier.contains(Modifier::BOLD) {
                    " font-weight=\"bold\""
                } else {
                    ""
                };
                let line = if cell.modifier.contains(Modifier::UNDERLINED) {
                    " text-decoration=\"underline\""
                } else {
                    ""
                };
                out.push_str(&format!(
                    "<text x=\"{left}\" y=\"{}\" fill=\"{fg}\"{bold}{line} textLength=\"{wide}\" xml:space=\"preserve\">{}</text>\n",
                    top + 14,
                    escape(&plain)
                ));
            }
            x = end;
        }
    }
    out.push_str("</svg>\n");
    out
}

/// Offset, height and opacity of a block element.
fn block(c: char) -> Option<(u32, u32, &'static str)> {
    let h = CELL.1;
    Some(match c {
        '█' => (0, h, "1"),
        '▀' => (0, h / 2, "1"),
        '▄' => (h / 2, h / 2, "1"),
        '░' => (0, h, "0.25"),
        '▒' => (0, h, "0.5"),
        '▓' => (0, h, "0.75"),
        _ => return None,
    })
}

/// The screen as text, one line a row.
pub fn text(buffer: &Buffer) -> String {
    let mut out = String::new();
    for y in 0..buffer.area.height {
        let row: String = (0..buffer.area.width)
            .map(|x| buffer[(x, y)].symbol().to_owned())
            .collect();
        out.push_str(row.trim_end());
        out.push('\n');
    }
    out
}
