//! What a fitter sees and nobody measures: the questions, the words to choose from, and what each
//! word means.

use crate::sheet::Figure;

/// Something that a fitter sees and nobody measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ShapeWord {
    /// Its key below `[shape]`.
    pub key: &'static str,
    /// What it is called.
    pub title: &'static str,
    /// What is asked.
    pub question: &'static str,
    /// The words to choose from, each with what it means.
    words: &'static [(&'static str, &'static str)],
    /// Whether it is asked of women only.
    women: bool,
}

impl ShapeWord {
    /// The words that this figure can choose from, each with what it means.
    pub fn words(&self, figure: Figure) -> impl Iterator<Item = (&'static str, &'static str)> {
        self.words
            .iter()
            .copied()
            .filter(move |(word, _)| figure == Figure::Woman || *word != PREGNANT)
    }

    /// The words alone.
    #[must_use]
    pub fn choice(&self, figure: Figure) -> Vec<&'static str> {
        self.words(figure).map(|(word, _)| word).collect()
    }
}

/// The word that is offered to women only.
const PREGNANT: &str = "pregnant";

/// The keys of `[shape]` that are asked of `figure`, from the top down.
pub fn shapes(figure: Figure) -> impl Iterator<Item = &'static ShapeWord> {
    SHAPES
        .iter()
        .filter(move |s| figure == Figure::Woman || !s.women)
}

/// Every key of `[shape]`, from the top down.
const SHAPES: [ShapeWord; 7] = [
    ShapeWord {
        key: "shoulders",
        title: "shoulders",
        question: "how do the shoulders fall?",
        words: &[
            ("square", "nearly level from the neck out"),
            ("average", "falling a little"),
            ("sloping", "falling steeply from the neck"),
        ],
        women: false,
    },
    ShapeWord {
        key: "back",
        title: "back",
        question: "how is the back held?",
        words: &[
            ("erect", "straight, the nape well back"),
            ("average", "in between"),
            ("rounded", "curved, the nape carried forward"),
        ],
        women: false,
    },
    ShapeWord {
        key: "blades",
        title: "shoulder blades",
        question: "how far do the shoulder blades stand out?",
        words: &[
            ("flat", "a hand laid across the back meets no ridge"),
            ("average", "in between"),
            ("full", "they stand out clearly from the back"),
        ],
        women: false,
    },
    ShapeWord {
        key: "bust",
        title: "place of the bust",
        question: "where does the bust sit?",
        words: &[
            ("high", "the bust points nearer the shoulders than on most"),
            ("average", "in between"),
            ("low", "the bust points nearer the waist than on most"),
            ("flat", "there is no bust: the chest is flat"),
        ],
        women: true,
    },
    ShapeWord {
        key: "bust_form",
        title: "form of the bust",
        question: "which form has the bust?",
        words: &[
            ("pointed", "narrowing to the bust points"),
            ("average", "in between"),
            ("round", "blunt in front and full above"),
        ],
        women: true,
    },
    ShapeWord {
        key: "abdomen",
        title: "abdomen",
        question: "how full is the abdomen?",
        words: &[
            ("flat", "no rounder than the waist above it"),
            ("average", "a little rounded"),
            ("full", "it stands out clearly"),
            (PREGNANT, "late in pregnancy"),
        ],
        women: false,
    },
    ShapeWord {
        key: "seat",
        title: "seat",
        question: "how full is the seat?",
        words: &[
            ("flat", "hardly standing out behind"),
            ("average", "in between"),
            ("full", "standing out clearly behind"),
        ],
        women: false,
    },
];
