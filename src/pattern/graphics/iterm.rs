//! The inline image sequence of OSC 1337: a PNG in base64, in one piece.

use crate::pattern::base64;

/// Shows a PNG at the cursor over so many columns and rows.
#[must_use]
pub fn iterm(png: &[u8], columns: u16, rows: u16) -> Vec<u8> {
    let mut out = format!(
        "\x1b]1337;File=inline=1;size={};width={columns};height={rows};preserveAspectRatio=1;doNotMoveCursor=1:",
        png.len()
    )
    .into_bytes();
    out.extend_from_slice(base64::encode(png).as_bytes());
    out.push(7);
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_sequence_with_its_size() {
        let text = String::from_utf8(iterm(b"foobar", 40, 10)).unwrap();
        assert!(text.starts_with("\x1b]1337;File=inline=1;size=6;width=40;height=10;"));
        assert!(text.ends_with(":Zm9vYmFy\x07"));
    }
}
