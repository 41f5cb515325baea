//! What may be typed: commands, their arguments and the help.

use std::path::PathBuf;

use clap::{ArgGroup, Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use layfigure::form::any_solid::Foot;
use layfigure::layout::nest::DEFAULT_TRIES;
use layfigure::mesh::Axis;
use layfigure::sheet::Figure;
use layfigure::units;
use layfigure::units::Unit;

mod compare;
mod sizes;

use compare::COMPARE;
pub(crate) use compare::Compare;
pub(crate) use sizes::Profiles;
use sizes::SIZES;

/// A stand-in form from a tape measure: fits a torso to a measurement sheet and draws it as
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
                    fails; 2 wrong usage, or a file cannot be read or written; 130 stopped with \
                    Ctrl-C.\n\
                    Results go to standard output, everything else to standard error. NO_COLOR is \
                    obeyed.";

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Make the form: fit, check, cut into layers, lay out, draw, explain, all in one folder
    #[command(after_help = EXIT)]
    Build(BuildArgs),
    /// Before cutting: thicknesses and materials side by side (layers, steps, boards, pages, hours,
    /// weight, cost); writes nothing
    #[command(after_help = EXIT)]
    Plan(Plan),
    /// Read sheets, fit them and print every finding and the girth check; writes nothing
    #[command(after_help = EXIT)]
    Check(Check),
    /// Read girths off any closed solid (STL, OBJ), at heights or at the levels of a sheet; writes
    /// nothing
    #[command(after_help = TAPE_HELP)]
    Tape(TapeArgs),
    /// Compare two bodies: what differs and by how much, whether a tape can tell, what to alter; find
    /// the nearest sizes of a system; pad a smaller form out; follow one person over time
    #[command(after_help = COMPARE)]
    Compare(Compare),
    /// List the size profiles that come with the program, their sizes and sources; write a size as a sheet
    #[command(after_help = SIZES)]
    Profiles(Profiles),
    /// Start a measurement sheet or a workshop file, or go on with one: asked on the terminal, blank, or a sheet
    /// on paper
    #[command(after_help = NEW_EXIT)]
    New(New),
    /// Print a script that completes commands in a shell
    Completions {
        /// The shell
        shell: Option<Shell>,
    },
    /// Print the manual page of the program or of one command: `layfigure man build`
    Man {
        /// The command
        command: Option<String>,
    },
    /// Print the licences of the program, of the letters in the drawings and of the libraries
    Licences,
}

impl Command {
    /// Whether it writes files when all goes well.
    pub(crate) const fn writes(&self) -> bool {
        match self {
            Self::Build(_) | Self::New(_) => true,
            Self::Compare(args) => args.page.is_some(),
            Self::Profiles(args) => args.export.is_some(),
            Self::Plan(_)
            | Self::Check(_)
            | Self::Tape(_)
            | Self::Completions { .. }
            | Self::Man { .. }
            | Self::Licences => false,
        }
    }
}

const NEW_EXIT: &str = "Exit status: 0 the sheet can be used; 1 it is not finished yet; 2 wrong \
                        usage, or a file cannot be read or written.";

#[derive(Debug, Args)]
pub(crate) struct New {
    /// The sheet or workshop file to fill in; if the file exists, `new` continues it [default: asked for]
    pub(crate) file: Option<PathBuf>,
    /// Write a commented blank sheet to fill in with a text editor, to standard output without FILE
    #[arg(long)]
    pub(crate) blank: bool,
    /// Ask for a workshop instead (material, boards, machine, paper, padding, pole), and say what each choice
    /// costs; with `--blank`, or where nobody answers, write the commented blank file: every key with its unit, its
    /// range and what is taken without it
    #[arg(long, conflicts_with_all = ["print", "figure"])]
    pub(crate) workshop: bool,
    /// Merge two people's sheets of one body into FILE: what both read becomes their mean, within half of what they
    /// differ by
    #[arg(
        long,
        value_names = ["FIRST", "SECOND"],
        num_args = 2,
        requires = "file",
        conflicts_with_all = ["blank", "workshop", "print", "figure", "unit"]
    )]
    pub(crate) merge: Vec<PathBuf>,
    /// Write two pages to fill in by pen (A4; Letter for inches), with drawings of where each tape
    /// runs; `-` for standard output
    #[arg(long, value_name = "PDF", conflicts_with_all = ["blank", "file"])]
    pub(crate) print: Option<PathBuf>,
    /// Whose figure it is [default: asked for; a woman's for `--blank` and `--print`]
    #[arg(long, value_enum, value_name = "FIGURE")]
    pub(crate) figure: Option<FigureName>,
    /// Unit of the readings [default: asked for; cm for `--blank` and `--print`, mm for
    /// `--workshop`]
    #[arg(long, value_enum, value_name = "UNIT")]
    pub(crate) unit: Option<UnitName>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum FigureName {
    /// A woman's
    Woman,
    /// A man's
    Man,
    /// A child's
    Child,
}

impl From<FigureName> for Figure {
    fn from(name: FigureName) -> Self {
        match name {
            FigureName::Woman => Self::Woman,
            FigureName::Man => Self::Man,
            FigureName::Child => Self::Child,
        }
    }
}

#[derive(Debug, Args)]
#[command(group(ArgGroup::new("again").args(["restart_at", "layers"]).multiple(true)))]
pub(crate) struct BuildArgs {
    /// Measurement sheet (TOML), `-` for standard input, or a size, `women:92-tall` (see
    /// `profiles`); without it an example that comes with the program is built
    pub(crate) sheet: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) common: Common,
    /// Folder to write [default: out/NAME, after the sheet's name]
    #[arg(short = 'o', long = "output", value_name = "DIR")]
    pub(crate) output: Option<PathBuf>,
    /// How many ways of laying the pieces on boards to look at: more take longer and may save a board
    #[arg(long, value_name = "N", default_value_t = DEFAULT_TRIES, value_parser = tries)]
    pub(crate) tries: usize,
    /// Cut the layers from this one up again, on a pile that is not as high as it should be
    #[arg(long, value_name = "LAYER", requires = "height")]
    pub(crate) restart_at: Option<usize>,
    /// Draw the templates of these layers alone, of a form that is there already: for layers that were spoilt
    #[arg(
        long,
        value_name = "LAYER,LAYER",
        value_delimiter = ',',
        conflicts_with = "json"
    )]
    pub(crate) layers: Vec<usize>,
    /// Measured height of the layers below it, from the underside of layer 1: `251.5 mm`, `9 7/8 in`; a bare number is
    /// in inches for a sheet in inches, else in millimetres
    #[arg(long, value_name = "LENGTH", requires = "restart_at", value_parser = pile_height)]
    pub(crate) height: Option<PileHeight>,
    /// With `--restart-at` or `--layers`, the folder that the pile was cut from: it must hold the same body
    /// [default: `out/` and the sheet's name]
    #[arg(long, value_name = "FOLDER", requires = "again")]
    pub(crate) pile: Option<PathBuf>,
    /// Most layers on one paper template, each line inside the one before, to trace and trim: 1 to 4
    /// [default: `paper.outlines` of the workshop, or 4]
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u8).range(1..=4))]
    pub(crate) outlines: Option<u8>,
    /// Draw whole templates, even where a half on the fold is enough
    #[arg(long)]
    pub(crate) whole: bool,
    /// What the check bars of a printed page measured, up the side and along its foot, in mm or as
    /// `7 15/16 x 3 31/32 in`: the pages then make up for the printer
    #[arg(long, value_name = "MMxMM")]
    pub(crate) printed: Option<String>,
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

/// A length in mm unless it names its unit.
/// A height that was typed, as it is read by somebody who measures in millimetres and in inches.
#[derive(Clone, Copy, Debug)]
pub(crate) struct PileHeight {
    metric: f64,
    inches: f64,
}

impl PileHeight {
    /// In mm, for a sheet in this unit.
    pub(crate) const fn in_mm(self, unit: Unit) -> f64 {
        match unit {
            Unit::In => self.inches,
            Unit::Cm | Unit::Mm => self.metric,
        }
    }
}

fn pile_height(text: &str) -> Result<PileHeight, String> {
    let metric = millimetres(text)?;
    let inches = units::parse_length(text, Unit::In).unwrap_or(metric);
    Ok(PileHeight { metric, inches })
}

fn millimetres(text: &str) -> Result<f64, String> {
    match units::parse_length(text, Unit::Mm) {
        Ok(mm) if mm.is_finite() && mm > 0.0 => Ok(mm),
        Ok(_) => Err("a height above 0 is needed".to_owned()),
        Err(_) => Err("a length is needed: `251.5`, `251.5 mm` or `9 7/8 in`".to_owned()),
    }
}

#[derive(Debug, Args)]
#[command(group = ArgGroup::new("what").args(["sheet", "materials"]).required(true))]
pub(crate) struct Plan {
    /// Measurement sheet (TOML), `-` for standard input, or a size, `women:92-tall`
    pub(crate) sheet: Option<PathBuf>,
    /// Thicknesses of a layer to compare, `6` or `6 mm`, `1/4 in` [default: what the workshop names;
    /// if that is one, also the others that it is sold in]
    #[arg(long, value_name = "MM", num_args = 1.., value_parser = millimetres)]
    pub(crate) thickness: Vec<f64>,
    /// Materials to compare, `plywood` or "corrugated card" [default: the workshop's]
    #[arg(long, value_name = "NAME", num_args = 1..)]
    pub(crate) material: Vec<String>,
    /// Print the materials that are known by name, with their sizes, weights and cautions
    #[arg(long)]
    pub(crate) materials: bool,
    /// How many ways of laying the pieces on boards to look at, for every choice
    #[arg(long, value_name = "N", default_value_t = 0, value_parser = tries)]
    pub(crate) tries: usize,
    #[command(flatten)]
    pub(crate) common: Common,
}

#[derive(Debug, Args)]
pub(crate) struct Check {
    /// Measurement sheets (TOML), `-` for standard input, or sizes, `women:92-tall`
    #[arg(required = true)]
    pub(crate) sheet: Vec<PathBuf>,
    /// Print everything at length: a line for each reading with how far it may be off, and how to
    /// take the next measurements
    #[arg(long)]
    pub(crate) all: bool,
    #[command(flatten)]
    pub(crate) common: Common,
}

const TAPE_HELP: &str = "Heights count in the solid's own numbers. A cut that falls into parts \
                         (legs, arms) gives the girth of its largest part and the tape round all of \
                         them. A solid with holes is refused; where it passes through itself nothing \
                         is read.\n\n\
                         Exit status: 0 read at every height; 1 the solid is refused, or a height \
                         has no reading; 2 wrong usage, or a file cannot be read.";

#[derive(Debug, Args)]
#[command(group = ArgGroup::new("where").args(["at", "every", "sheet"]))]
pub(crate) struct TapeArgs {
    /// Solid: binary or text STL, or OBJ
    pub(crate) solid: PathBuf,
    /// Unit of the numbers in the solid's file
    #[arg(long, value_enum, value_name = "UNIT", default_value_t = SolidUnit::Mm)]
    pub(crate) solid_unit: SolidUnit,
    /// Axis of the solid that points up: x, y, z, or one with a minus
    #[arg(long, value_name = "AXIS", default_value = "z", value_parser = axis, allow_hyphen_values = true)]
    pub(crate) up: Facing,
    /// Axis along which the figure faces [default: y; z where y is up]
    #[arg(long, value_name = "AXIS", value_parser = axis, allow_hyphen_values = true)]
    pub(crate) front: Option<Facing>,
    /// Heights to read, like `90` or `"35 1/2 in"`; a bare number is in the printed unit
    #[arg(long, value_name = "HEIGHT", num_args = 1.., allow_negative_numbers = true)]
    pub(crate) at: Vec<String>,
    /// Read at every whole step [default: 5 cm or 2 in]
    #[arg(long, value_name = "STEP")]
    pub(crate) every: Option<String>,
    /// Read at the levels of this measurement sheet and compare with its girths
    #[arg(long, value_name = "SHEET")]
    pub(crate) sheet: Option<PathBuf>,
    /// What the solid's lowest point is on the body of the sheet
    #[arg(long, value_enum, value_name = "WHAT", default_value_t = Lowest::Hem, requires = "sheet")]
    pub(crate) lowest: Lowest,
    /// Workshop file (TOML) with the form's hem and scale, as for `build`
    #[arg(long, value_name = "FILE", requires = "sheet")]
    pub(crate) workshop: Option<PathBuf>,
    /// Print numbers as JSON (mm) instead of text
    #[arg(long)]
    pub(crate) json: bool,
    /// Unit of what is printed and of bare heights [default: the sheet's, or cm]
    #[arg(long, value_enum, value_name = "UNIT")]
    pub(crate) unit: Option<UnitName>,
    /// Print results and refusals only, no warnings and no progress
    #[arg(long)]
    pub(crate) quiet: bool,
}

/// An axis as typed.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Facing(pub(crate) Axis);

fn axis(text: &str) -> Result<Facing, String> {
    Axis::ALL
        .into_iter()
        .find(|(name, _)| *name == text.trim().trim_start_matches('+').to_lowercase())
        .map(|(_, axis)| Facing(axis))
        .ok_or_else(|| "an axis is x, y, z, -x, -y or -z".to_owned())
}

/// Units that solids are written in.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum SolidUnit {
    /// Millimetres
    Mm,
    /// Centimetres
    Cm,
    /// Metres
    M,
    /// Inches
    In,
}

impl SolidUnit {
    pub(crate) const fn in_mm(self) -> f64 {
        match self {
            Self::Mm => Unit::Mm.in_mm(),
            Self::Cm => Unit::Cm.in_mm(),
            Self::M => MM_PER_METRE,
            Self::In => Unit::In.in_mm(),
        }
    }
}

/// Exact (SI prefixes).
const MM_PER_METRE: f64 = 1000.0;

/// What a solid's lowest point is.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Lowest {
    /// The lower end of the form, as in the solids that `build` writes
    Hem,
    /// The floor that the person stands on
    Floor,
}

impl From<Lowest> for Foot {
    fn from(lowest: Lowest) -> Self {
        match lowest {
            Lowest::Hem => Self::Hem,
            Lowest::Floor => Self::Floor,
        }
    }
}

#[derive(Debug, Args)]
pub(crate) struct Common {
    /// Workshop file (TOML): materials, machines and paper; every key has a default [default: what is sold
    /// where the unit of the sheet is used]
    #[arg(long, value_name = "FILE")]
    pub(crate) workshop: Option<PathBuf>,
    /// Folder with size profiles of your own (TOML)
    #[arg(long, value_name = "DIR")]
    pub(crate) profiles: Option<PathBuf>,
    /// Paper of templates and proof: `A3`, `Letter`, `11x17 in`, `roll 610 mm` [default: `paper.size` of the
    /// workshop; without one A4, or Letter for inches]
    #[arg(long, value_name = "SIZE")]
    pub(crate) paper: Option<String>,
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
