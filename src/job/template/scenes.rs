//! Invented scenes to start a job folder from: other panels in the same workbook, another title, and what the scene asks for.

use crate::catalog::choices;

use super::TemplateKind;

choices! {
    /// What a new job folder shows.
    Scene {
        /// Three panels of a hall.
        Hall = "hall",
        /// One long mural in strips, with doors and a lunette.
        Mural = "mural",
        /// Paintings on a ceiling, worked on overhead.
        Ceiling = "ceiling",
        /// Three small panels.
        ThreePanels = "three-panels",
    }
}

/// The recipe that the ceiling brings along.
const CEILING_RECIPE: &str = include_str!("ceiling-paste.toml");

/// Stands at the top of a ceiling's job.toml.
const CEILING_CAUTION: &str = "\
# CAUTION, work overhead: the deck below must carry people, drum and canvas, with edge protection; nobody stands under canvas that is
# being released; resin and old paste fall into faces, so eyes and lungs are protected; necks and arms tire, so people change over often.
# A competent person decides under local rules; the times of recipes/ceiling-paste.toml are workshop judgement.

";

impl Scene {
    /// The job's title and what its site is called.
    const fn title(self) -> (&'static str, &'static str) {
        match self {
            Self::Hall => ("Assembly hall, north range", "Assembly hall"),
            Self::Mural => ("Ferry terminal, the long mural", "Ferry terminal"),
            Self::Ceiling => ("Music room, ceiling paintings", "Music room"),
            Self::ThreePanels => ("Reading room, three panels", "Reading room"),
        }
    }

    /// Turns the hall's job.toml into the scene's.
    pub(super) fn settings(self, hall: &str) -> String {
        let (old, old_site) = Self::Hall.title();
        let (title, site) = self.title();
        let text = hall
            .replace(&format!("\"{old}\""), &format!("\"{title}\""))
            .replace(&format!("\"{old_site}\""), &format!("\"{site}\""));
        match self {
            Self::Hall | Self::Mural | Self::ThreePanels => text,
            Self::Ceiling => {
                CEILING_CAUTION.to_owned()
                    + &text.replace(
                        "default_recipe = \"supple-paste\" ",
                        "default_recipe = \"ceiling-paste\"",
                    )
            }
        }
    }

    /// Files that the scene brings along, by name.
    pub(super) fn files(self) -> Vec<(String, Vec<u8>)> {
        match self {
            Self::Hall | Self::Mural | Self::ThreePanels => Vec::new(),
            Self::Ceiling => vec![(
                "recipes/ceiling-paste.toml".to_owned(),
                CEILING_RECIPE.as_bytes().to_vec(),
            )],
        }
    }

    /// The cells below a heading of a sheet, where the scene has rows of its own; none for the hall, whose rows stand with the columns.
    pub(super) fn cells(
        self,
        kind: TemplateKind,
        sheet: &str,
        heading: &str,
    ) -> Option<Vec<&'static str>> {
        let imperial = matches!(kind, TemplateKind::Imperial);
        let (panels, openings) = match (self, imperial) {
            (Self::Hall, _) => return None,
            (Self::Mural, false) => (MURAL_M, MURAL_OPENINGS_M),
            (Self::Mural, true) => (MURAL_FT, MURAL_OPENINGS_FT),
            (Self::Ceiling, false) => (CEILING_M, ""),
            (Self::Ceiling, true) => (CEILING_FT, ""),
            (Self::ThreePanels, false) => (THREE_M, ""),
            (Self::ThreePanels, true) => (THREE_FT, ""),
        };
        let table = match sheet {
            "panels" => panels,
            "openings" => openings,
            _ => "",
        };
        let mut lines = table.lines();
        let mut headings = lines.next().unwrap_or("").split('|');
        let at = headings.position(|name| name == heading);
        let below = |at: usize| lines.map(move |line| line.split('|').nth(at).unwrap_or(""));
        Some(at.map(|at| below(at).collect()).unwrap_or_default())
    }
}

const MURAL_M: &str = "\
panel|place|shape|width|height|spring|recipe|paint|give|adhesive|height_above_floor|notes
M1|quay wall|rectangle|3.40 m|2.80 m||supple-paste|sound|supple|paste|1.10 m|left end, round the ticket window
M2|quay wall|rectangle|3.40 m|2.80 m||supple-paste|sound|supple|paste|1.10 m|
M3|quay wall|arch|2.60 m|3.20 m|2.30 m|stiff-glue|cupped|stiff|glue|0.90 m|over the clock
M4|quay wall|lunette|3.00 m|1.30 m||stiff-glue|cupped|stiff|glue|3.60 m|over the doors";
const MURAL_OPENINGS_M: &str = "\
panel|shape|left|bottom|width|height|spring
M1|rectangle|0.60 m|0.40 m|0.90 m|1.10 m|";
const MURAL_FT: &str = "\
panel|place|shape|width|height|spring|recipe|paint|give|adhesive|height_above_floor|notes
M1|quay wall|rectangle|11' 2\"|9' 2\"||supple-paste|sound|supple|paste|3' 7\"|left end, round the ticket window
M2|quay wall|rectangle|11' 2\"|9' 2\"||supple-paste|sound|supple|paste|3' 7\"|
M3|quay wall|arch|8' 6\"|10' 6\"|7' 6\"|stiff-glue|cupped|stiff|glue|3'|over the clock
M4|quay wall|lunette|9' 10\"|4' 3\"||stiff-glue|cupped|stiff|glue|11' 10\"|over the doors";
const MURAL_OPENINGS_FT: &str = "\
panel|shape|left|bottom|width|height|spring
M1|rectangle|2'|1' 4\"|3'|3' 7\"|";
const CEILING_M: &str = "\
panel|place|shape|width|height|recipe|paint|give|adhesive|height_above_floor|notes
P1|ceiling, window side|rectangle|2.60 m|1.80 m|ceiling-paste|sound|supple|paste|4.20 m|overhead: width along the windows
P2|ceiling, middle|ellipse|2.80 m|2.00 m|ceiling-paste|sound|supple|paste|4.20 m|overhead: round the lamp hook
P3|ceiling, door side|rectangle|2.60 m|1.80 m|ceiling-paste|sound|supple|paste|4.20 m|overhead";
const CEILING_FT: &str = "\
panel|place|shape|width|height|recipe|paint|give|adhesive|height_above_floor|notes
P1|ceiling, window side|rectangle|8' 6\"|5' 11\"|ceiling-paste|sound|supple|paste|13' 9\"|overhead: width along the windows
P2|ceiling, middle|ellipse|9' 2\"|6' 7\"|ceiling-paste|sound|supple|paste|13' 9\"|overhead: round the lamp hook
P3|ceiling, door side|rectangle|8' 6\"|5' 11\"|ceiling-paste|sound|supple|paste|13' 9\"|overhead";
const THREE_M: &str = "\
panel|place|shape|width|height|recipe|paint|give|adhesive|height_above_floor|notes
R1|chimney wall|rectangle|1.90 m|1.30 m|supple-paste|sound|supple|paste|1.50 m|
R2|window wall|rectangle|1.20 m|1.75 m|supple-paste|sound|supple|paste|1.00 m|
R3|door wall|lunette|2.30 m|0.95 m|stiff-glue|cupped|stiff|glue|2.40 m|slight cupping along the crown";
const THREE_FT: &str = "\
panel|place|shape|width|height|recipe|paint|give|adhesive|height_above_floor|notes
R1|chimney wall|rectangle|6' 2 1/2\"|4' 3\"|supple-paste|sound|supple|paste|5'|
R2|window wall|rectangle|3' 11 3/4\"|5' 8\"|supple-paste|sound|supple|paste|3' 4\"|
R3|door wall|lunette|7' 6\"|3' 2\"|stiff-glue|cupped|stiff|glue|7' 9\"|slight cupping along the crown";
