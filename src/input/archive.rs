//! The directory of a zip archive, read before anything is unpacked: what it holds and how large it becomes.

/// The most bytes that a workbook may unpack to.
const MOST_UNPACKED: u64 = 256 * 1024 * 1024;

/// What an archive says of itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Content {
    /// An XLSX workbook.
    Xlsx,
    /// An ODS workbook.
    Ods,
    /// Something else, or nothing readable.
    Other,
    /// More than is unpacked here.
    TooLarge,
}

/// Reads the central directory of a zip archive.
///
/// Source: PKWARE, APPNOTE.TXT, sections 4.3.12 and 4.3.16 (field offsets).
pub(super) fn content(bytes: &[u8]) -> Content {
    let Some((count, start)) = directory(bytes) else {
        return Content::Other;
    };
    let mut at = start;
    let mut total = 0_u64;
    let mut found = Content::Other;
    for _ in 0..count {
        let (Some(size), Some(name_length), Some(extra), Some(comment)) = (
            word32(bytes, at + 24),
            word16(bytes, at + 28),
            word16(bytes, at + 30),
            word16(bytes, at + 32),
        ) else {
            return Content::Other;
        };
        match bytes.get(at + 46..at + 46 + name_length) {
            Some(b"xl/workbook.xml") => found = Content::Xlsx,
            Some(b"content.xml") => found = Content::Ods,
            Some(_) => {}
            None => return Content::Other,
        }
        total = total.saturating_add(u64::from(size));
        at = at + 46 + name_length + extra + comment;
    }
    if total > MOST_UNPACKED {
        Content::TooLarge
    } else {
        found
    }
}

/// Finds the end record: the number of entries and where the directory begins.
fn directory(bytes: &[u8]) -> Option<(usize, usize)> {
    let tail = bytes.len().saturating_sub(65_557);
    let from = bytes
        .get(tail..)?
        .windows(4)
        .rposition(|window| window == b"PK\x05\x06")?
        + tail;
    let start = usize::try_from(word32(bytes, from + 16)?).ok()?;
    Some((word16(bytes, from + 10)?, start))
}

fn word16(bytes: &[u8], at: usize) -> Option<usize> {
    let pair = bytes.get(at..at.checked_add(2)?)?;
    Some(usize::from(u16::from_le_bytes(pair.try_into().ok()?)))
}

fn word32(bytes: &[u8], at: usize) -> Option<u32> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_le_bytes(four.try_into().ok()?))
}
