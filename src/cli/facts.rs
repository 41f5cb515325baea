//! Why the program cannot do what it is asked: files and folders, and options.

use std::io;
use std::path::Path;

use layfigure::Error;
use layfigure::error::Finding;
use layfigure::fact::{AsField, Fact, Field};
use layfigure::facts;
use layfigure::text;
use layfigure::text::{Part, Reader, Text, listed, mm, typed};
use layfigure::units::Misread;
use layfigure::units::Unit;
use layfigure::units::trimmed;
use layfigure::workshop::Misprint;

/// What to do where something is not there.
const LOOK: &str = "check the spelling, and that the terminal is in the right folder";

/// A path as it was typed.
pub(crate) fn as_typed(path: &Path) -> String {
    path.display().to_string()
}

/// A path or another name in backticks.
fn name(name: &str) -> Text {
    typed(name.to_owned())
}

/// What layers are cut from.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct FileSort {
    pub(crate) material: String,
    /// mm.
    pub(crate) thickness: f64,
}

impl AsField for FileSort {
    fn field(&self) -> Field {
        Field::List(vec![self.material.field(), self.thickness.field()])
    }
}

impl From<&FileSort> for Text {
    fn from(sort: &FileSort) -> Self {
        text![&sort.material, " of ", mm(sort.thickness)]
    }
}

/// `plywood of 6 mm and card of 3 mm`.
fn sorts(all: &[FileSort]) -> Text {
    listed(all.iter().map(Text::from), "and")
}

/// What files hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum FileKind {
    Sheet,
    Workshop,
    Profile,
    Solid,
}

impl FileKind {
    const fn words(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::Workshop => "workshop file",
            Self::Profile => "size profile",
            Self::Solid => "solid",
        }
    }

    /// Where one comes from.
    fn begun(self) -> Text {
        match self {
            Self::Sheet => text![typed("layfigure new"), " begins a sheet"],
            Self::Workshop => text![
                typed("layfigure new --workshop FILE"),
                " writes a blank one"
            ],
            Self::Profile => text![
                typed("layfigure profiles"),
                " lists those that come with the program"
            ],
            Self::Solid => text![
                typed("layfigure build"),
                " writes one, ",
                typed("solid/outer.stl"),
                " in its folder"
            ],
        }
    }

    /// What to do about a file that is not a plain one.
    fn instead(self) -> Text {
        match self {
            Self::Profile => "take it out of the folder of size profiles".into(),
            Self::Sheet => text![
                "name the ",
                self.words(),
                ", or ",
                typed("-"),
                " and send it to standard input"
            ],
            _ => text!["name the ", self.words(), " itself"],
        }
    }
}

impl AsField for FileKind {
    fn field(&self) -> Field {
        self.words().field()
    }
}

/// What stands in the way of a folder of a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum BlockedBy {
    /// This is a file, and a folder is to go there.
    File(String),
    /// This is a folder, and a file is to go there.
    Folder(String),
    /// This is no longer a plain file.
    NotPlain(String),
    /// This was not written by this program.
    Foreign(String),
    /// This was changed since it was written.
    Changed(String),
}

impl BlockedBy {
    const fn parts(&self) -> (&String, &'static str) {
        match self {
            Self::File(name) => (name, " is a file, and a folder is to go there"),
            Self::Folder(name) => (name, " is a folder, and a file is to go there"),
            Self::NotPlain(name) => (name, " is no longer a plain file"),
            Self::Foreign(name) => (name, " was not written by this program"),
            Self::Changed(name) => (name, " was changed since it was written"),
        }
    }
}

impl AsField for BlockedBy {
    fn field(&self) -> Field {
        self.parts().0.field()
    }
}

fn blocks(all: &[BlockedBy]) -> Text {
    let said = |block: &BlockedBy| {
        let (what, why) = block.parts();
        text![name(what), why]
    };
    Text::joined(all.iter().map(said), ", ")
}

facts! {
    /// Why a file or a folder cannot be read or written.
    pub(crate) enum FileFact {
        /// It is not there.
        NotThere { path: String } => text!["there is no file or folder ", name(path)], LOOK;
        /// The same, of a file that is to hold something.
        NoneOfKind { path: String, kind: FileKind }
            => text!["there is no ", kind.words(), " ", name(path)], text![LOOK, " (", kind.begun(), ")"];
        /// A folder of size profiles is not there.
        NoFolderOfProfiles { path: String }
            => text!["there is no folder ", name(path), " of size profiles"], LOOK;
        /// A folder of size profiles is a file.
        FileOfProfiles { path: String }
            => text![name(path), " is a file"], text![typed("--profiles"), " takes the folder that it is in"];
        /// A folder of size profiles has none.
        NoProfiles { path: String }
            => text!["the folder ", name(path), " holds no size profile (no file that ends in ", typed(".toml"), ")"],
            "";
        /// Two size profiles have one name.
        SameProfile { path: String, system: String }
            => text!["two files of ", name(path), " are called ", name(system),
                     ": give each size profile a name of its own"], "";
        /// The system does not let anybody in.
        Shut { path: String }
            => text![name(path), " is not open to you"],
            "choose another folder, or change who may read and write it";
        /// On a disk that takes nothing.
        DiskReadOnly { path: String }
            => text![name(path), " cannot be written, its disk can only be read"], "choose another folder";
        /// A folder where a file is wanted.
        IsFolder { path: String } => text![name(path), " is a folder"], "name a file in it";
        /// A pipe, a socket or a device where a file is wanted.
        NotPlain { path: String, kind: FileKind, called: &'static str }
            => text![name(path), " is ", *called, ", not a plain file"], kind.instead();
        /// No room.
        DiskFull { path: String }
            => text![name(path), " cannot be written, the disk is full"], "make room and try again";
        /// More than files may hold there.
        TooLargeForDisk { path: String }
            => text![name(path), " cannot be written, files may not grow so large here"],
            "choose a folder on another disk, or ask the person who looks after this computer";
        /// Another program holds it.
        InUseByAnother { path: String }
            => text![name(path), " is in use and cannot be replaced"],
            "close what uses it, or choose another folder";
        /// A name that the system does not take.
        NameNotAllowed { path: String }
            => text![name(path), " cannot be written, its name is too long or not allowed"],
            "choose a shorter name";
        /// It does not fit into memory.
        NoMemory { path: String }
            => text![name(path), " does not fit into the memory that is left"],
            "close other programs, or take a smaller file";
        /// It is longer than is read.
        TooLong { path: String, mebibytes: usize }
            => text![path, ": it is longer than the ", *mebibytes, " MiB that are read"], "";
        /// It is not text.
        NotText { path: String }
            => text![path, ": this is not text in UTF-8; save it again from a text editor"], "";
        /// Anything else, in the words of the system.
        Other { path: String, said: String } => text![path, ": ", said], "";
        /// A file that nobody said may be replaced.
        ThereAlready { path: String, forceable: bool }
            => text![name(path), " is there already: ",
                     if *forceable {
                         text!["choose another name, or add ", typed("--force"), " to replace it"]
                     } else {
                         "move it away, or give another name".into()
                     }],
            "";
        /// No name of a file.
        NoName { path: String } => text![name(path), " is not the name of a file"], "";
        /// The folder of a file to be is not there.
        NoFolderFor { path: String, folder: String }
            => text![name(path), " cannot be written: there is no folder ", name(folder),
                     "; make it first, or give another name"], "";
        /// Its folder was taken away while it was being written.
        TakenMeanwhile { path: String }
            => text![name(path), " cannot be written: somebody moved or removed its folder meanwhile; build again"], "";
        /// A link that leads nowhere.
        LinkToNothing { path: String, to: String }
            => text![name(path), " is a link to ", name(to),
                     ", which is not there: make that first, or choose another name"], "";
    }
}

facts! {
    /// Why a folder of a form is not written, or may not be what it seems.
    pub(crate) enum FolderFact {
        /// A file of that name.
        IsFile { path: String }
            => text![name(path), " is a file, not a folder: choose another with ", typed("-o")], "";
        /// No name of a folder.
        NoName { path: String }
            => text![name(path), " cannot be written as a folder: choose another with ", typed("-o")], "";
        /// Something is there that no file can take the place of.
        Blocked { path: String, by: Vec<BlockedBy> }
            => text!["the folder ", name(path), " is in use: ", blocks(by),
                     "; move it away, or choose another folder with ", typed("-o")], "";
        /// Something is there that is somebody's own.
        InUse { path: String, by: Vec<BlockedBy> }
            => text!["the folder ", name(path), " is in use: ", blocks(by),
                     "; move it away, choose another folder with ", typed("-o"), ", or add ", typed("--force"),
                     " to replace it"], "";
        /// It holds something, and no form.
        NotEmpty { path: String }
            => text!["the folder ", name(path), " is not empty and holds no earlier build: choose another with ",
                     typed("-o"), ", or add ", typed("--force"), " to write into it"], "";
        /// Somebody made it while the form was being written.
        MadeMeanwhile { path: String }
            => text!["somebody made ", name(path),
                     " meanwhile: see what it is, then build again or choose another folder with ",
                     typed("-o")], "";
        /// It holds the form of another sheet of the same name.
        OfAnotherSheet { path: String, sheet: String, form: String }
            => text![name(path), " holds the form of another sheet, ", name(sheet), ", which has the same ",
                     typed("name"), ", \"", form, "\": give this one a name of its own, or a folder with ",
                     typed("-o"), "; ", typed("--force"), " replaces what is there"], "";
        /// Another version made what it holds.
        OfAnotherVersion { path: String, by: Option<String>, this: &'static str }
            => text![name(path), " holds a form that ", by.as_deref().unwrap_or("an earlier version").to_owned(),
                     " made; this is ", *this, ", which may make a slightly different body of the same sheet. Pieces of two \
                     bodies do not stack: give this one a new folder with ", typed("-o"),
                     ", or replace what is there with ", typed("--force"), " if nothing of it is cut yet"], "";
        /// The pile was cut from another body.
        PileOfAnotherBody { path: String, pile: String, body: String }
            => text!["the pile was cut from the body ", pile.clone(), " (", name(path),
                     "), this sheet now gives the body ", body, ": layers of two bodies do not meet. Take the \
                     sheet that the pile was cut from, or build the whole form again without ",
                     typed("--restart-at")], "";
        /// The pile was cut by a version that did not name its body.
        PileOfEarlierVersion { path: String, this: &'static str }
            => text!["the pile was cut by an earlier version (", name(path), "). ", *this, " may make a slightly \
                     different body of the same sheet: finish the pile with the version that began it. Or build into a \
                     new folder and hold the topmost layer of the pile against its page: if they are alike, go on with ", typed("--force")], "";
        /// The layers of the pile are not as high as those of the workshop.
        PileOfOtherLayers { path: String, pile: f64, workshop: f64 }
            => text!["a layer of the pile is meant to be ", mm(*pile), " high with its glue (", name(path),
                     "), one of this workshop ", mm(*workshop), ": their numbers do not go together. Name the workshop \
                     that the pile was built with, ", typed("--workshop"), ", and say with ", typed("--height"),
                     " how high the pile turned out"], "";
        /// The pile was cut from another material.
        PileOfAnotherMaterial { path: String, pile: String, workshop: String }
            => text!["the pile was cut from ", pile.clone(), " (", name(path), "), this workshop has ", workshop.clone(),
                     ": glue, weight and cautions are those of another material. Name the workshop that the pile was \
                     built with, ", typed("--workshop"), ". If the rest is to be of ", workshop.clone(),
                     " all the same, say ", typed("--force")], "";
        /// The pile has materials that the workshop has not.
        PileOfOtherMaterials { path: String, pile: Vec<FileSort>, workshop: Vec<FileSort> }
            => text!["the pile was cut from ", sorts(pile), " (", name(path), "), this workshop cuts layers from ",
                     sorts(workshop), ": its layers lie at other heights. Name the workshop that the pile was built \
                     with, ", typed("--workshop")], "";
        /// The materials lie in another order in the pile.
        PileInOtherOrder { path: String, layer: usize, pile: FileSort, workshop: FileSort }
            => text!["layer ", *layer, " of the pile was cut from ", pile, " (", name(path),
                     "), in this workshop it would be ", workshop, ": the layers lie at other heights. Name the \
                     workshop that the pile was built with, ", typed("--workshop")], "";
        /// The pile is of another scale.
        PileAtAnotherScale { path: String, pile: f64, workshop: f64 }
            => text!["the pile was cut at the scale ", trimmed(*pile, 3), " (", name(path), "), this workshop builds at ",
                     trimmed(*workshop, 3), ". Name the workshop that the pile was built with, ", typed("--workshop")], "";
        /// More or less was taken off the pile for padding and cover.
        PileUnderOtherPadding { path: String, pile: f64, workshop: f64 }
            => text!["the layers of the pile are smaller than the body by ", mm(*pile), " for padding and cover (",
                     name(path), "), this workshop takes off ", mm(*workshop), ": the rest would not lie flush on it. \
                     Name the workshop that the pile was built with, ", typed("--workshop")], "";
        /// The dowels of the pile stand elsewhere.
        PileOfOtherDowels { path: String, dowel: String, at: [f64; 2] }
            => text!["dowel ", dowel.clone(), " of this form stands ", mm(at[0].abs()), if at[0] < 0.0 { " to the left" } else { " to the right" },
                     " of the middle and ", mm(at[1].abs()), if at[1] < 0.0 { " behind it" } else { " in front of it" },
                     ", where the pile has none (", name(path), "): the rest would not go on its dowels. Finish the pile with \
                     the version and the workshop that began it, or build the whole form again without ",
                     typed("--restart-at")], "";
        /// Layers for a form of another body.
        LayersOfAnotherBody { path: String, pile: String, body: String }
            => text!["the form in ", name(path), " is of the body ", pile.clone(), ", this sheet now gives the body ", body,
                     ": a layer of the one does not fit among those of the other. Take the sheet that it was built from, or \
                     say ", typed("--force")], "";
        /// Nothing that a pile could be of.
        NoForm { path: String }
            => text![name(path), " holds no form: name the folder that the pile was cut from"], "";
        /// A build was broken off in it.
        HalfReplaced { path: String }
            => text!["a build was broken off while it replaced what is in ", name(path),
                     ": this may be the solid of another form than its guide and its boards"],
            "build it again";
    }
}

facts! {
    /// Why a command cannot do what it is asked.
    pub(crate) enum ProgramFact {
        /// Several sheets for one form.
        OneForm => text![typed("build"), " makes one form at a time, each in a folder of its own: run it once for \
                                         every sheet (", typed("check"), " takes many)"], "";
        /// What the check bars measured cannot be.
        NotPrinted { printed: String, why: Misprint }
            => text![typed(format!("--printed {printed}")), " cannot be used: ", why.words()], "";
        /// A layer that is not cut.
        NoSuchLayer { layer: usize, first: usize, last: usize }
            => text!["there is no template of layer ", *layer, ": the layers that are cut are ", *first, " to ", *last], "";
        /// A table that lacks what a form needs.
        SizeMakesNoForm { name: String, lacks: Vec<layfigure::measure::Measure> }
            => text!["no form can be made of ", self::name(name), ": the table has no ",
                     Text::joined(lacks.iter().map(|m| m.title().into()), " and no "),
                     "; write it as a sheet with ",
                     typed(format!("layfigure profiles {name} --export sheet.toml")),
                     " and fill that in, or only compare with it"], "";
        /// A whole system where one size is wanted.
        WholeSystem { system: String, size: String }
            => text![name(system), " is a whole system of sizes: name one size of it, like ",
                     typed(format!("{system}:{size}"))], "";
        /// The same where a sheet is to be written.
        WholeSystemAsSheet { system: String, size: String }
            => text![name(system), " is a whole system: name one size of it to write as a sheet, like ",
                     typed(format!("{system}:{size}"))], "";
        /// Systems of sizes and bodies side by side.
        SystemsAndBodies => "some of these are systems of sizes and some are bodies: compare a body with one \
                             other body, or with systems", "";
        /// A page of a system.
        PageOfSystem => text![typed("--page"), " draws two bodies: name one size of the system, like ",
                              typed("women:92-tall")], "";
        /// More than two bodies, or one.
        TwoBodies => "compare a body with one other body, or with systems of sizes", "";
        /// More than a form and a body, or one.
        FormAndBody => text![typed("--pad-out"), " takes two: the smaller form's sheet, then the person's"], "";
        /// Batting thinner than any.
        ThinBatting { batting: f64, unit: Unit }
            => text![typed("--batting"), " is the thickness of one layer under the cover: ",
                     Part::Length(*batting, *unit), " is less than any has"], "";
        /// An option that is not a length.
        NoLength { option: &'static str, typed: String }
            => text![text::typed(*option), " needs a length of zero or more, like ", text::typed("1.5"), " or ",
                     text::typed("\"1/2 in\""), ", not ", name(typed)], "";
        /// A height that is not a length.
        NoHeight { option: String, why: Misread }
            => text![name(option), ": ", why.message(), "; ", why.hint()], "";
        /// Heights without a step between them.
        NoStep => text![typed("--every"), " needs a step above zero"], "";
        /// Up and front in one.
        OneAxis => text![typed("--up"), " and ", typed("--front"),
                         " lie along one axis: a figure faces square to where it stands up"], "";
        /// Text that is not a solid.
        TextIsNoSolid { path: String }
            => text![path, " is text, but neither a text STL (its first word is ", typed("solid"),
                     ") nor an OBJ (its lines begin with ", typed("v"), " and ", typed("f"),
                     "); give the solid, as in ", typed("layfigure tape outer.stl --sheet SHEET")], "";
        /// Completions for no shell.
        WhichShell => text!["for which shell? Name bash, elvish, fish, powershell or zsh: ",
                            typed("layfigure completions bash")], "";
        /// The manual page of no command.
        NoManual { command: String, commands: Vec<String> }
            => text!["there is no command ", name(command), " with a manual page: name one of ",
                     commands.join(", "), ", or none for the page of the program"], "";
    }
}

/// A solid that is neither of two formats.
#[derive(Debug)]
pub(crate) struct NeitherFormat {
    /// Why it is not the one, and why not the other.
    pub(crate) why: [Box<Finding>; 2],
}

impl Fact for NeitherFormat {
    fn name(&self) -> &'static str {
        "NeitherFormat"
    }

    fn fields(&self) -> Vec<(&'static str, Field)> {
        let names = self.why.iter().map(|f| f.fact.name().field());
        vec![("why", Field::List(names.collect()))]
    }

    fn message(&self) -> Text {
        let [one, other] = &self.why;
        text![
            one.fact.message(),
            "; nor as another format: ",
            other.fact.message()
        ]
    }

    fn hint(&self) -> Text {
        Text::new()
    }
}

/// What is the matter with a file where the program knows better than the system.
#[derive(Debug, thiserror::Error)]
#[error("{}", .0.message().plain(Reader::default()))]
pub(crate) struct OfFile(pub(crate) FileFact);

impl OfFile {
    /// An error about `path` of which this is known.
    pub(crate) fn at(path: &Path, kind: io::ErrorKind, fact: FileFact) -> Error {
        Error::Io {
            path: path.to_path_buf(),
            source: io::Error::new(kind, Self(fact)),
        }
    }
}

/// A fact whose hint stands in its message.
#[derive(Debug)]
pub(crate) struct Joined(pub(crate) FileFact);

impl Fact for Joined {
    fn name(&self) -> &'static str {
        self.0.name()
    }

    fn fields(&self) -> Vec<(&'static str, Field)> {
        self.0.fields()
    }

    fn message(&self) -> Text {
        let hint = self.0.hint();
        if hint.is_empty() {
            self.0.message()
        } else {
            text![self.0.message(), ": ", hint]
        }
    }

    fn hint(&self) -> Text {
        Text::new()
    }
}
