//! Bytes as base64 text (RFC 4648), for pictures inside text.

const LETTERS: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Base64 with padding.
pub(crate) fn encode(bytes: &[u8]) -> String {
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for three in bytes.chunks(3) {
        let word = three
            .iter()
            .chain(&[0, 0])
            .take(3)
            .fold(0_u32, |word, byte| (word << 8) | u32::from(*byte));
        for place in 0..4_usize {
            let six = (word >> (18 - 6 * place)) & 63;
            let letter = LETTERS.get(six as usize).copied().unwrap_or(b'=');
            out.push(if place > three.len() {
                '='
            } else {
                char::from(letter)
            });
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::encode;

    // RFC 4648 section 10, test vectors (from memory).
    #[test]
    fn published_vectors() {
        for (plain, coded) in [
            ("", ""),
            ("f", "Zg=="),
            ("fo", "Zm8="),
            ("foo", "Zm9v"),
            ("foob", "Zm9vYg=="),
            ("fooba", "Zm9vYmE="),
            ("foobar", "Zm9vYmFy"),
        ] {
            assert_eq!(encode(plain.as_bytes()), coded);
        }
    }
}
