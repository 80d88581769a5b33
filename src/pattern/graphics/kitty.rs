//! The kitty graphics protocol: a PNG in base64, cut to pieces of at most 4096 letters.

use crate::pattern::base64;

/// Longest piece that the protocol takes.
const PIECE: usize = 4096;

/// Shows a PNG at the cursor over so many columns and rows, without moving the cursor and without an
/// answer from the terminal; a picture with the same number is replaced.
#[must_use]
pub fn kitty(png: &[u8], number: u32, columns: u16, rows: u16) -> Vec<u8> {
    let data = base64::encode(png);
    let mut out = Vec::with_capacity(data.len() + 256);
    let mut pieces = data.as_bytes().chunks(PIECE).peekable();
    let mut first = true;
    while let Some(piece) = pieces.next() {
        let more = u8::from(pieces.peek().is_some());
        let head = if first {
            format!("\x1b_Ga=T,f=100,t=d,q=2,C=1,i={number},c={columns},r={rows},m={more};")
        } else {
            format!("\x1b_Gq=2,m={more};")
        };
        first = false;
        out.extend_from_slice(head.as_bytes());
        out.extend_from_slice(piece);
        out.extend_from_slice(b"\x1b\\");
    }
    out
}

/// Takes a picture away again.
#[must_use]
pub fn kitty_clear(number: u32) -> Vec<u8> {
    format!("\x1b_Ga=d,d=I,i={number},q=2\x1b\\").into_bytes()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn long_pictures_go_in_pieces_and_only_the_last_says_so() {
        let bytes = kitty(&vec![7; 10_000], 5, 80, 20);
        let text = String::from_utf8(bytes).unwrap();
        let parts: Vec<&str> = text.split("\x1b\\").filter(|p| !p.is_empty()).collect();
        assert_eq!(parts.len(), 4);
        assert!(parts[0].starts_with("\x1b_Ga=T,f=100,t=d,q=2,C=1,i=5,c=80,r=20,m=1;"));
        assert!(parts[3].starts_with("\x1b_Gq=2,m=0;"));
        let data: usize = parts
            .iter()
            .map(|p| p.split_once(';').unwrap().1.len())
            .sum();
        assert_eq!(data, 10_000_usize.div_ceil(3) * 4);
        assert!(
            parts
                .iter()
                .all(|p| p.split_once(';').unwrap().1.len() <= PIECE)
        );
    }
}
