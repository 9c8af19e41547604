//! A crate's pieces, alike ones together.

use std::collections::BTreeMap;

use crate::job::Job;
use crate::units::Length;

use super::build::Build;
use super::build::Part;
use super::outcome::CratePiece;
use super::packed::Packed;
use super::tray;

/// What pieces are told apart by: part, material, width, length.
type Alike<'a> = (String, &'a str, Length, Length);

/// Lists the pieces of a crate and of the trays in it: boards, foam, timber; `id` is what their names begin with.
pub(super) fn list(job: &Job, id: &str, packed: &Packed) -> Vec<CratePiece> {
    let mut counts: BTreeMap<Alike<'_>, u32> = BTreeMap::new();
    for build in [&packed.shell, &packed.trays] {
        count(job, id, build, &mut counts);
    }
    let pieces = counts.into_iter();
    pieces
        .map(|((part, material, width, length), count)| CratePiece {
            part,
            material: material.to_owned(),
            width,
            length,
            count,
        })
        .collect()
}

fn count<'a>(job: &'a Job, id: &str, build: &Build, counts: &mut BTreeMap<Alike<'a>, u32>) {
    let kit = &job.catalog.crate_kit;
    let boards: [(&str, &[Part]); 3] = [
        (&kit.board, &build.boards),
        (tray::support(job), &build.supports),
        (&kit.foam, &build.foam),
    ];
    for (material, parts) in boards {
        for part in parts {
            let alike = (name(id, &part.id), material, part.width, part.length);
            *counts.entry(alike).or_default() += 1;
        }
    }
    let skid = kit.skid.as_ref().unwrap_or(&kit.batten);
    for (material, pieces) in [(&kit.batten, &build.timber), (skid, &build.skids)] {
        let width = job
            .catalog
            .materials
            .get(material)
            .and_then(|timber| timber.width)
            .unwrap_or_default();
        for (piece, length) in pieces {
            let alike = (name(id, piece), material.as_str(), width, *length);
            *counts.entry(alike).or_default() += 1;
        }
    }
}

/// A piece's name without its crate and its numbers: `K1 no. 2 cradle 1.1` is a cradle.
fn name(id: &str, piece: &str) -> String {
    let own = piece.strip_prefix(id).unwrap_or(piece);
    let words = own.split(' ').filter(|word| {
        !word.is_empty()
            && *word != "no."
            && !word.starts_with(|letter: char| letter.is_ascii_digit())
    });
    words.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_lose_their_numbers() {
        assert_eq!(name("K1", "K1 no. 2 cradle 1.1"), "cradle");
        assert_eq!(name("K1", "K1 top joint 1"), "top joint");
        assert_eq!(name("K12", "K12 tray support 2/3"), "tray support");
    }
}
