//! A table of panels handed over by the browser: which files of the job folder it takes the place of.

use crate::diag::Problems;
use crate::diag::list;
use crate::input::Document;
use crate::input::tables;
use crate::units::LengthUnit;
use crate::units::NumberStyle;

use super::session::Files;

/// Panels that take the place of those in the job folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Upload {
    /// What the person calls the file; only ever shown.
    pub(super) label: String,
    /// The file's name within the job folder.
    pub(super) name: String,
    /// What it holds.
    pub(super) bytes: Vec<u8>,
    /// The files of the job folder whose place it takes.
    pub(super) replaces: Vec<String>,
    /// Sheets with rows in those files that it does not have.
    pub(super) lacks: Vec<String>,
}

/// Why an upload cannot be taken: what is wrong, and what to do.
pub(super) type Refusal = (String, String);

/// The ends of names of tables.
const ENDINGS: [&str; 3] = ["csv", "xlsx", "ods"];

/// Measures do not matter where only sheets are counted.
const ANY_STYLE: NumberStyle = NumberStyle {
    unit: LengthUnit::Mm,
    decimal_comma: false,
};

impl Upload {
    /// Finds the place of an uploaded table of panels in a job folder.
    ///
    /// # Errors
    /// The file is empty, or the folder keeps its panels where no file can take their place.
    pub(super) fn into_place(folder: &Files, label: &str, bytes: Vec<u8>) -> Result<Self, Refusal> {
        if bytes.is_empty() {
            return Err((
                "no file was chosen, or it is empty".to_owned(),
                "choose the workbook or CSV file with the panels, then press the button beside it"
                    .to_owned(),
            ));
        }
        let ending = ending_of(&bytes);
        let plain: Vec<String> = ENDINGS
            .iter()
            .map(|ending| format!("panels.{ending}"))
            .filter(|name| folder.contains_key(name))
            .collect();
        let (name, replaces) = match named(folder) {
            Some(name) if name.ends_with(&format!(".{ending}")) => (name.clone(), vec![name]),
            Some(name) => {
                return Err((
                    format!(
                        "job.toml names `{name}` as the file of the panels, and this is no such file"
                    ),
                    format!("save the table in the format of `{name}`"),
                ));
            }
            None if plain.is_empty() => {
                return Err((
                    "the panels of this job stand on a sheet of job.xlsx or job.ods, beside other tables"
                        .to_owned(),
                    "change them in that workbook, then read the folder again".to_owned(),
                ));
            }
            None => (format!("panels.{ending}"), plain),
        };
        let own = sheets(&name, &bytes);
        let lacks = replaces.iter().filter_map(|name| {
            let sheets = sheets(name, folder.get(name)?).into_iter();
            Some(sheets.filter(|sheet| !own.contains(sheet)))
        });
        let lacks = lacks.flatten().collect();
        let label = label
            .chars()
            .filter(|letter| !letter.is_control())
            .take(LONGEST_LABEL)
            .collect();
        Ok(Self {
            label,
            name,
            bytes,
            replaces,
            lacks,
        })
    }

    /// The job folder with these panels.
    pub(super) fn put_into(&self, folder: &mut Files) {
        for name in &self.replaces {
            folder.remove(name);
        }
        folder.insert(self.name.clone(), self.bytes.clone());
    }

    /// What is missing that the replaced files had.
    pub(super) fn lacking(&self) -> Option<String> {
        (!self.lacks.is_empty()).then(|| {
            format!(
                "the file that it takes the place of has rows on other sheets too, {}, which are not planned with now",
                list(&self.lacks, "and")
            )
        })
    }
}

/// Longer names are cut.
const LONGEST_LABEL: usize = 120;

/// What the bytes are, whatever the file is called.
fn ending_of(bytes: &[u8]) -> &'static str {
    const OLD_WORKBOOK: &[u8] = &[0xD0, 0xCF, 0x11, 0xE0];
    // The first entry of an ODS archive is its media type, not compressed (ODF 1.2 part 3, 3.3).
    const ODS: &[u8] = b"mimetypeapplication/vnd.oasis.opendocument.spreadsheet";
    let begins = bytes.get(..200).unwrap_or(bytes);
    if bytes.starts_with(b"PK") && begins.windows(ODS.len()).any(|part| part == ODS) {
        "ods"
    } else if bytes.starts_with(b"PK") || bytes.starts_with(OLD_WORKBOOK) {
        "xlsx"
    } else {
        "csv"
    }
}

/// The file that job.toml names for the panels.
fn named(folder: &Files) -> Option<String> {
    let untold = &mut Problems::new();
    let bytes = folder.get("job.toml")?;
    let document = Document::read("job.toml", bytes, ANY_STYLE, untold)?;
    let tables = document.root().field("tables").section(untold)?;
    tables.field("panels").text(untold)
}

/// The sheets of a file that hold rows.
fn sheets(name: &str, bytes: &[u8]) -> Vec<String> {
    const OURS: [&str; 3] = ["panels", "about", "lists"];
    let tables = tables(name, bytes, ANY_STYLE, &mut Problems::new());
    tables
        .iter()
        .filter(|table| !table.is_empty() && !OURS.iter().any(|ours| table.is_named(ours)))
        .filter_map(|table| Some(table.sheet()?.to_lowercase()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn folder(files: &[(&str, &str)]) -> Files {
        let files = files.iter();
        files
            .map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec()))
            .collect()
    }

    #[test]
    fn a_table_takes_the_place_of_the_panels_whatever_its_label() {
        let job = folder(&[("job.toml", ""), ("panels.xlsx", ""), ("stock.csv", "")]);
        let upload = Upload::into_place(&job, "../../job.toml\n", b"panel\nN1\n".to_vec()).unwrap();
        assert_eq!(upload.name, "panels.csv");
        assert_eq!(upload.replaces, ["panels.xlsx"]);
        assert_eq!(upload.label, "../../job.toml");
        let mut now = job.clone();
        upload.put_into(&mut now);
        let names: Vec<&str> = now.keys().map(String::as_str).collect();
        assert_eq!(names, ["job.toml", "panels.csv", "stock.csv"]);
    }

    #[test]
    fn panels_that_stand_elsewhere_are_not_replaced() {
        let own = folder(&[
            ("job.toml", "tables = { panels = \"walls.csv\" }"),
            ("walls.csv", ""),
        ]);
        let upload = Upload::into_place(&own, "a", b"panel\nN1\n".to_vec()).unwrap();
        assert_eq!(upload.name, "walls.csv");
        assert!(Upload::into_place(&own, "a", b"PK..".to_vec()).is_err());
        let book = folder(&[("job.toml", ""), ("job.xlsx", "")]);
        assert!(Upload::into_place(&book, "a", b"panel\nN1\n".to_vec()).is_err());
        assert!(Upload::into_place(&own, "a", Vec::new()).is_err());
    }
}
