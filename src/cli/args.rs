//! What may be typed: commands, their arguments and the help.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use layfigure::layout::nest::DEFAULT_TRIES;
use layfigure::units::Unit;

/// A body double from a tape measure: fits a torso to a measurement sheet and draws it as
/// true-size layers to cut and stack.
#[derive(Debug, Parser)]
#[command(
    name = "layfigure",
    version,
    about,
    after_help = EXIT,
    arg_required_else_help = true,
    max_term_width = 100
)]
pub(crate) struct Cli {
    #[command(subcommand)]
    pub(crate) command: Command,
}

const EXIT: &str = "Exit status: 0 done; 1 the sheet or the request is refused, or the girth check \
                    fails; 2 wrong usage, or a file cannot be read or written.\n\
                    Results go to standard output, everything else to standard error. NO_COLOR is \
                    obeyed.";

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Make the form: fit, check, cut into layers, lay out, draw, explain, all in one folder
    #[command(after_help = EXIT)]
    Build(Build),
    /// Read sheets, fit them and print every finding and the girth check; writes nothing
    #[command(after_help = EXIT)]
    Check(Check),
    /// Print a script that completes commands in a shell
    Completions {
        /// The shell
        shell: Shell,
    },
    /// Print the manual page
    Man,
    /// Print the licence of the letters embedded in the drawings
    Licences,
}

#[derive(Debug, Args)]
pub(crate) struct Build {
    /// Measurement sheet (TOML), `-` for standard input; without it an example that comes with
    /// the program is built
    pub(crate) sheet: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) common: Common,
    /// Folder to write [default: out/NAME, after the sheet's name]
    #[arg(short = 'o', long = "output", value_name = "DIR")]
    pub(crate) output: Option<PathBuf>,
    /// How many ways of laying the pieces on boards to look at: more take longer and may save a board
    #[arg(long, value_name = "N", default_value_t = DEFAULT_TRIES, value_parser = tries)]
    pub(crate) tries: usize,
    /// Replace files in the folder that the last build did not write, or that were changed since
    #[arg(long)]
    pub(crate) force: bool,
}

/// More tries than this would run for hours.
const MOST_TRIES: usize = 1_000_000;

fn tries(text: &str) -> Result<usize, String> {
    let n: usize = text
        .parse()
        .map_err(|_| "a whole number is needed".to_owned())?;
    if n > MOST_TRIES {
        return Err(format!("at most {MOST_TRIES} tries"));
    }
    Ok(n)
}

#[derive(Debug, Args)]
pub(crate) struct Check {
    /// Measurement sheets (TOML), `-` for standard input
    #[arg(required = true)]
    pub(crate) sheet: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Debug, Args)]
pub(crate) struct Common {
    /// Workshop file (TOML): materials, machines and paper; every key has a default
    #[arg(long, value_name = "FILE")]
    pub(crate) workshop: Option<PathBuf>,
    /// Print numbers as JSON (mm and degrees) instead of text
    #[arg(long)]
    pub(crate) json: bool,
    /// Unit of lengths in what is printed and in the guide [default: the sheet's own]
    #[arg(long, value_enum, value_name = "UNIT")]
    pub(crate) unit: Option<UnitName>,
    /// Print results and refusals only, no warnings and no progress
    #[arg(long)]
    pub(crate) quiet: bool,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum UnitName {
    /// Centimetres
    Cm,
    /// Millimetres
    Mm,
    /// Inches
    In,
}

impl From<UnitName> for Unit {
    fn from(name: UnitName) -> Self {
        match name {
            UnitName::Cm => Self::Cm,
            UnitName::Mm => Self::Mm,
            UnitName::In => Self::In,
        }
    }
}
