//! What may be typed of a comparison.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use layfigure::compare::Standing;

use crate::args::UnitName;

/// How bodies and sizes are named, and how it ends.
pub(super) const COMPARE: &str = "A body is a measurement sheet or a size, `women:92-tall`; after \
                                  the first body a whole system, `women`, asks for its nearest \
                                  sizes.\n\n\
                                  Exit status: 0 done; 1 a sheet or the request is refused; 2 wrong \
                                  usage, or a file cannot be read or written.";

#[derive(Debug, Args)]
pub(crate) struct Compare {
    /// Measurement sheet (TOML), `-` for standard input, or a size
    pub(crate) a: PathBuf,
    /// Another sheet or size; or systems of sizes
    #[arg(required = true)]
    pub(crate) b: Vec<PathBuf>,
    /// The first is a smaller form that you have: say how to pad it out to the second
    #[arg(long, conflicts_with_all = ["over_time", "ease", "ease_length", "all", "align"])]
    pub(crate) pad_out: bool,
    /// Thickness of one layer of batting under the cover; a bare number is in the printed unit
    /// [default: 4 mm]
    #[arg(long, value_name = "LENGTH", requires = "pad_out")]
    pub(crate) batting: Option<String>,
    /// All are dated sheets of one person: what changed from date to date, and what to alter when
    #[arg(long, conflicts_with_all = ["all", "align"])]
    pub(crate) over_time: bool,
    /// Ease on girths: alter nothing up to it; a bare number is in the printed unit
    /// [default: 1 cm]
    #[arg(long, value_name = "LENGTH")]
    pub(crate) ease: Option<String>,
    /// The same on lengths [default: 0.6 cm]
    #[arg(long, value_name = "LENGTH")]
    pub(crate) ease_length: Option<String>,
    /// Write a page (HTML) with pictures: outlines, sections, shaded views, where one stands outside
    /// the other; with `--pad-out` the layers spot by spot, with `--over-time` small drawings
    #[arg(long, value_name = "FILE")]
    pub(crate) page: Option<PathBuf>,
    /// Replace the page if it is there already
    #[arg(long, requires = "page")]
    pub(crate) force: bool,
    /// Where the outlines on the page are aligned
    #[arg(long, value_enum, value_name = "WHERE", default_value_t = Align::Waist)]
    pub(crate) align: Align,
    /// List every measurement, estimates within noise too
    #[arg(long)]
    pub(crate) all: bool,
    /// Folder with size profiles of your own (TOML)
    #[arg(long, value_name = "DIR")]
    pub(crate) profiles: Option<PathBuf>,
    /// Print numbers as JSON (mm and degrees) instead of text
    #[arg(long)]
    pub(crate) json: bool,
    /// Unit of the values printed [default: the first body's]
    #[arg(long, value_enum, value_name = "UNIT")]
    pub(crate) unit: Option<UnitName>,
    /// Print results and refusals only, no warnings and no progress
    #[arg(long)]
    pub(crate) quiet: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Align {
    /// The natural waists are level
    Waist,
    /// Both stand on one floor
    Floor,
}

impl From<Align> for Standing {
    fn from(align: Align) -> Self {
        match align {
            Align::Waist => Self::Waist,
            Align::Floor => Self::Floor,
        }
    }
}
