//! The fixed choices that describe a painting's condition.

/// Defines an enum of fixed choices with the words people write for them.
macro_rules! choices {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $text:literal,)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum $name { $($(#[$vdoc])* $variant,)* }

        impl $name {
            /// Every choice, in the order shown to people.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)*];

            /// The word that people write.
            pub const fn name(self) -> &'static str {
                match self { $(Self::$variant => $text,)* }
            }

            /// Finds the choice that a word names, case and spaces at the ends ignored.
            pub fn from_name(word: &str) -> Option<Self> {
                let word = word.trim().to_lowercase();
                Self::ALL.iter().copied().find(|choice| choice.name() == word)
            }
        }
    };
}
pub(crate) use choices;

choices! {
    /// The state of the paint.
    Paint {
        /// Holds well.
        Sound = "sound",
        /// Lifts at the edges of its cracks.
        Cupped = "cupped",
        /// Comes away in flakes.
        Flaking = "flaking",
        /// Comes away as dust.
        Powdering = "powdering",
    }
}

choices! {
    /// How much bending the paint takes.
    Give {
        /// Bends without harm.
        Supple = "supple",
        /// Takes a wide curve.
        Stiff = "stiff",
        /// Takes a very wide curve only.
        Brittle = "brittle",
        /// May not be rolled at all.
        None = "none",
    }
}

choices! {
    /// What holds the canvas to the wall.
    Adhesive {
        /// Starch or flour paste.
        Paste = "paste",
        /// Animal glue.
        Glue = "glue",
        /// Natural or synthetic resin.
        Resin = "resin",
        /// Contact adhesive.
        Contact = "contact",
        /// Oil paste with lead white.
        OilLead = "oil-lead",
    }
}
