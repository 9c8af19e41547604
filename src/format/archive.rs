//! Files to one ZIP archive, for whoever takes all of them at once.

use std::io::Cursor;
use std::io::Write;

use zip::ZipWriter;
use zip::result::ZipResult;
use zip::write::SimpleFileOptions;

use super::CannotWrite;

/// Writes files into one archive under a folder's name. No date of today stands in it: the same files give the same bytes.
///
/// # Errors
/// The archive could not be made, e.g. since it would be larger than the format allows.
pub fn write_zip(folder: &str, files: &[(String, Vec<u8>)]) -> Result<Vec<u8>, CannotWrite> {
    pack(folder, files).map_err(|trouble| CannotWrite {
        file: format!("{folder}.zip"),
        why: trouble.to_string(),
    })
}

fn pack(folder: &str, files: &[(String, Vec<u8>)]) -> ZipResult<Vec<u8>> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().last_modified_time(zip::DateTime::default());
    for (name, bytes) in files {
        writer.start_file(format!("{folder}/{name}"), options)?;
        writer.write_all(bytes)?;
    }
    Ok(writer.finish()?.into_inner())
}

#[cfg(test)]
mod tests {
    use std::io::Read;

    use super::*;

    #[test]
    fn what_goes_in_comes_out() {
        let files = vec![
            ("a.csv".to_owned(), b"one\r\n".to_vec()),
            ("sheets/001.svg".to_owned(), vec![0_u8; 70_000]),
        ];
        let bytes = write_zip("plan", &files).unwrap();
        assert_eq!(write_zip("plan", &files).unwrap(), bytes);
        let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
        assert_eq!(archive.len(), 2);
        for (name, wanted) in files {
            let mut found = Vec::new();
            let mut file = archive.by_name(&format!("plan/{name}")).unwrap();
            file.read_to_end(&mut found).unwrap();
            assert_eq!(found, wanted);
        }
    }
}
