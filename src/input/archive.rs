//! A zip archive looked over before a workbook reader gets it: what it holds, and how large it becomes.

use std::io::Cursor;
use std::io::Read;

use zip::ZipArchive;

use super::strings::Strings;

/// The most bytes that a workbook may unpack to.
const MOST_UNPACKED: u64 = 256 * 1024 * 1024;

/// What an archive is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Content {
    /// An XLSX workbook.
    Xlsx,
    /// An ODS workbook, with the bytes of its cells.
    Ods(Vec<u8>),
    /// An ODS workbook with a password.
    Locked,
    /// Something else, or nothing readable.
    Other,
    /// More than is unpacked here.
    TooLarge,
    /// A workbook that holds more different texts than are read, or says so.
    TooManyTexts,
}

/// What an entry is to us.
#[derive(Clone, Copy)]
enum Kind {
    Book,
    Cells,
    Manifest,
    Other,
}

impl Kind {
    fn of(name: &str) -> Self {
        match name {
            "xl/workbook.xml" => Self::Book,
            "content.xml" => Self::Cells,
            "META-INF/manifest.xml" => Self::Manifest,
            _ => Self::Other,
        }
    }
}

/// Unpacks every entry once, keeping only the cells of an ODS workbook: what an archive says of its sizes may be untrue.
pub(super) fn content(bytes: &[u8]) -> Content {
    let Ok(mut archive) = ZipArchive::new(Cursor::new(bytes)) else {
        return Content::Other;
    };
    let mut left = MOST_UNPACKED;
    let mut found = Content::Other;
    let mut locked = false;
    for index in 0..archive.len() {
        let Ok(entry) = archive.by_index(index) else {
            continue;
        };
        let kind = Kind::of(entry.name().as_deref().unwrap_or(""));
        let mut kept = Vec::new();
        let mut limited = entry.take(left + 1);
        let size = match kind {
            Kind::Cells | Kind::Manifest => limited
                .read_to_end(&mut kept)
                .map(|size| u64::try_from(size).unwrap_or(u64::MAX)),
            Kind::Book | Kind::Other => {
                let mut strings = Strings::default();
                let size = std::io::copy(&mut limited, &mut strings);
                if strings.are_too_many() {
                    return Content::TooManyTexts;
                }
                size
            }
        };
        // An entry that cannot be unpacked is told by the reader that needs it.
        let Ok(size) = size else { continue };
        if size > left {
            return Content::TooLarge;
        }
        left -= size;
        match kind {
            Kind::Book => found = Content::Xlsx,
            Kind::Cells => found = Content::Ods(kept),
            Kind::Manifest => locked |= kept.windows(15).any(|part| part == b"encryption-data"),
            Kind::Other => {}
        }
    }
    if locked { Content::Locked } else { found }
}
