//! A name for bytes: their SHA-256.

use std::fmt::Write;

use sha2::Digest;
use sha2::Sha256;

/// Returns the SHA-256 of bytes as 64 hexadecimal digits.
///
/// ```
/// // NIST FIPS 180-4, the example of one block: "abc".
/// assert!(facelay::input::sha256(b"abc").starts_with("ba7816bf8f01cfea"));
/// ```
pub fn sha256(bytes: &[u8]) -> String {
    let mut text = String::new();
    for byte in Sha256::digest(bytes) {
        // Writing to a string cannot fail.
        let _ = write!(text, "{byte:02x}");
    }
    text
}
