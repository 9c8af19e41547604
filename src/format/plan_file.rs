//! The whole plan to `plan.json`, format `facelay-plan/1`.
//!
//! Lengths are `_mm`, masses `_g` or `_kg`, volumes `_ml`, money a decimal string, times local `YYYY-MM-DDTHH:MM`. Rows are written as
//! they are made, so that a job of ten thousand panels needs no second copy of itself.

mod inputs;
mod money;
mod shapes;
mod times;

use serde::Serialize;
use serde::Serializer;
use serde::ser::SerializeMap;

use crate::plan::Plan;

use super::CannotWrite;
use super::finite::Checked;

/// Writes `plan.json`.
///
/// # Errors
/// The values could not be turned into JSON: one of them is no finite number.
pub fn write_plan(plan: &Plan) -> Result<Vec<u8>, CannotWrite> {
    let mut bytes = serde_json::to_vec(&Checked(&Document(plan))).map_err(|e| CannotWrite {
        file: "plan.json".into(),
        why: e.to_string(),
    })?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// The plan as a JSON object, its keys in the order of the stages.
struct Document<'a>(&'a Plan);

impl Serialize for Document<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let plan = self.0;
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("format", "facelay-plan/1")?;
        map.serialize_entry("program", concat!("facelay ", env!("CARGO_PKG_VERSION")))?;
        inputs::write(&mut map, plan)?;
        shapes::write(&mut map, plan)?;
        times::write(&mut map, plan)?;
        money::write(&mut map, plan)?;
        map.end()
    }
}

/// A list whose rows are made one at a time while they are written.
struct Rows<F>(F);

impl<F, I, T> Serialize for Rows<F>
where
    F: Fn() -> I,
    I: Iterator<Item = T>,
    T: Serialize,
{
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq((self.0)())
    }
}
