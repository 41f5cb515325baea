//! What may be typed of size profiles.

use std::path::PathBuf;

use clap::Args;

use crate::args::UnitName;

/// How sizes are written on the command line.
pub(super) const SIZES: &str = "A size is SYSTEM:SIZE, `women:92-tall`, or between the sizes with \
                                bust (chest) and stature, `women:93.5-168`; a bare number is in \
                                the unit of the profile (cm), others carry their own, `36.5in`.";

#[derive(Debug, Args)]
pub(crate) struct Profiles {
    /// System, or SYSTEM:SIZE; without it every system is listed
    pub(crate) name: Option<String>,
    /// Write the size as a measurement sheet to edit; `-` for standard output
    #[arg(long, value_name = "FILE", requires = "name")]
    pub(crate) export: Option<PathBuf>,
    /// Replace the exported file if it is there already
    #[arg(long, requires = "export")]
    pub(crate) force: bool,
    /// Folder with size profiles of your own (TOML); one of the same name takes the place of one
    /// that comes with the program
    #[arg(long, value_name = "DIR")]
    pub(crate) profiles: Option<PathBuf>,
    /// Print numbers as JSON (mm and degrees) instead of text
    #[arg(long)]
    pub(crate) json: bool,
    /// Unit of the table of sizes and of the exported sheet [default: the profile's own]
    #[arg(long, value_enum, value_name = "UNIT")]
    pub(crate) unit: Option<UnitName>,
}
