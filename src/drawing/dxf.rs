//! `Drawing` to DXF text in mm: layers `CUT`, `CUT_INSIDE` and `MARK`.
//!
//! The release is R2000 (`AC1015`), the oldest with light-weight polylines, which every cutting
//! program reads; smooth lines are polylines of arcs, within
//! [`CURVE_ACCURACY_MM`](crate::tolerance::CURVE_ACCURACY_MM). Three kinds of entity are used:
//! `LWPOLYLINE`, `CIRCLE` and `TEXT`. Sections, tables and group codes are those of the DXF
//! reference of the file's maker for this release (from memory; the outside checks read every file
//! with another library). There are no dates and no identifiers but handles counted from 1, so the
//! same drawing gives the same bytes.

use crate::drawing::curve;
use crate::drawing::{Anchor, Drawing, Item, Pen, rounded};
use crate::error::Error;
use crate::face::{printable, text_width};
use crate::units::mm;

/// Name of the dashed line type, its words, and its dash and gap in mm.
const DASHED: &str = "DASHED";
const DASHES: (&str, [f64; 2]) = ("dashes of 3 mm, gaps of 1.5 mm", [3.0, -1.5]);
/// Layers with their colours: numbers of the palette that the format has.
const LAYERS: [(&str, u8); 4] = [("0", 7), ("CUT", 1), ("CUT_INSIDE", 6), ("MARK", 7)];
/// The number of millimetres among the units of the header (`$INSUNITS`).
const MILLIMETRES: u8 = 4;
/// Decimals of a bulge, a pure number: at a chord of 1 m it still tells 0.001 mm apart.
const BULGE_DECIMALS: usize = 6;

/// Writes a drawing as DXF text, 1 drawing unit to the millimetre. Rectangles of sight
/// (`Group::clip`) are not applied: boards, which this format is for, have none.
///
/// # Errors
/// [`Error::Format`] when the face of the words cannot be read.
pub fn write(drawing: &Drawing) -> Result<String, Error> {
    let mut file = File::default();
    let model = file.tables();
    file.blocks(&model);
    file.section("ENTITIES");
    let items = || drawing.groups.iter().flat_map(|g| &g.items);
    // Openings first: a piece that is cut free before its openings may shift.
    let passes = [Some(Pen::CutInside), Some(Pen::Cut), None];
    for pass in passes {
        for item in items() {
            let pen = match item {
                Item::Path { pen, .. } | Item::Circle { pen, .. } => *pen,
                Item::Text { .. } => Pen::Mark,
            };
            let wanted = match pass {
                Some(wanted) => pen == wanted,
                None => !item.is_cut(),
            };
            if wanted {
                file.entity(item, pen, &model)?;
            }
        }
    }
    file.end_section();
    file.objects();
    Ok(file.finish(drawing))
}

/// Which layer a pen draws on.
fn layer(pen: Pen) -> &'static str {
    match pen {
        Pen::Cut => "CUT",
        Pen::CutInside => "CUT_INSIDE",
        Pen::Mark | Pen::Dashed | Pen::Fine => "MARK",
    }
}

/// A name by which one part of the file points at another; nobody, where the file itself owns a part.
#[derive(Clone, Copy)]
struct Handle(u32);
const NOBODY: Handle = Handle(0);

/// The space that is drawn in, and the one for paper, which stays empty: their block records.
struct Spaces {
    model: Handle,
    paper: Handle,
}

/// Pairs of a group code and a value, as the format has them.
#[derive(Default)]
struct File {
    body: String,
    handles: u32,
}

impl File {
    fn pair(&mut self, code: u16, value: &str) {
        self.body.push_str(&format!("{code:>3}\n{value}\n"));
    }

    fn int(&mut self, code: u16, value: usize) {
        self.pair(code, &value.to_string());
    }

    fn size(&mut self, code: u16, value: f64) {
        self.pair(code, &mm(value));
    }

    /// A point in the plane, and its height 0 where the format wants one.
    fn point(&mut self, code: u16, x: f64, y: f64, height: bool) {
        self.size(code, x);
        self.size(code + 10, y);
        if height {
            self.size(code + 20, 0.0);
        }
    }

    fn section(&mut self, name: &str) {
        self.pair(0, "SECTION");
        self.pair(2, name);
    }

    fn end_section(&mut self) {
        self.pair(0, "ENDSEC");
    }

    fn handle(&mut self) -> Handle {
        self.handles += 1;
        Handle(self.handles)
    }

    fn points_at(&mut self, code: u16, handle: Handle) {
        self.pair(code, &format!("{:X}", handle.0));
    }

    /// Begins an object of this kind that belongs to `owner`.
    fn begin(&mut self, kind: &str, owner: Handle) -> Handle {
        let handle = self.handle();
        self.pair(0, kind);
        // A style of dimensions has its handle under a code of its own.
        self.points_at(if kind == "DIMSTYLE" { 105 } else { 5 }, handle);
        self.points_at(330, owner);
        handle
    }

    /// Begins a table of this many records.
    fn table(&mut self, name: &str, records: usize) -> Handle {
        self.pair(0, "TABLE");
        self.pair(2, name);
        let handle = self.handle();
        self.points_at(5, handle);
        self.points_at(330, NOBODY);
        self.pair(100, "AcDbSymbolTable");
        self.int(70, records);
        if name == "DIMSTYLE" {
            self.pair(100, "AcDbDimStyleTable");
        }
        handle
    }

    /// Begins a record of a table.
    fn record(&mut self, kind: &str, class: &str, name: &str, table: Handle) -> Handle {
        let handle = self.begin(kind, table);
        self.pair(100, "AcDbSymbolTableRecord");
        self.pair(100, class);
        self.pair(2, name);
        handle
    }

    /// The tables that the release wants, those without use empty.
    fn tables(&mut self) -> Spaces {
        self.section("TABLES");
        let end = |file: &mut Self| file.pair(0, "ENDTAB");
        self.table("VPORT", 0);
        end(self);

        let (words, dashes) = DASHES;
        let types: [(&str, &str, &[f64]); 4] = [
            ("ByBlock", "", &[]),
            ("ByLayer", "", &[]),
            ("Continuous", "", &[]),
            (DASHED, words, &dashes),
        ];
        let table = self.table("LTYPE", types.len());
        for (name, words, dashes) in types {
            self.record("LTYPE", "AcDbLinetypeTableRecord", name, table);
            self.int(70, 0);
            self.pair(3, words);
            // The letter A, the only alignment there is.
            self.int(72, 65);
            self.int(73, dashes.len());
            self.size(40, dashes.iter().map(|d| d.abs()).sum());
            for dash in dashes {
                self.size(49, *dash);
                self.int(74, 0);
            }
        }
        end(self);

        let table = self.table("LAYER", LAYERS.len());
        for (name, colour) in LAYERS {
            self.record("LAYER", "AcDbLayerTableRecord", name, table);
            self.int(70, 0);
            self.int(62, usize::from(colour));
            self.pair(6, "Continuous");
        }
        end(self);

        let table = self.table("STYLE", 1);
        self.record("STYLE", "AcDbTextStyleTableRecord", "Standard", table);
        self.int(70, 0);
        for (code, value) in [(40, 0.0), (41, 1.0), (50, 0.0)] {
            self.size(code, value);
        }
        self.int(71, 0);
        self.size(42, 2.5);
        self.pair(3, "txt");
        self.pair(4, "");
        end(self);

        for empty in ["VIEW", "UCS"] {
            self.table(empty, 0);
            end(self);
        }

        let table = self.table("APPID", 1);
        self.record("APPID", "AcDbRegAppTableRecord", "ACAD", table);
        self.int(70, 0);
        end(self);

        let table = self.table("DIMSTYLE", 1);
        self.record("DIMSTYLE", "AcDbDimStyleTableRecord", "Standard", table);
        self.int(70, 0);
        end(self);

        let table = self.table("BLOCK_RECORD", 2);
        let mut space =
            |name: &str| self.record("BLOCK_RECORD", "AcDbBlockTableRecord", name, table);
        let spaces = Spaces {
            model: space("*Model_Space"),
            paper: space("*Paper_Space"),
        };
        end(self);
        self.end_section();
        spaces
    }

    fn blocks(&mut self, spaces: &Spaces) {
        self.section("BLOCKS");
        for (name, owner) in [
            ("*Model_Space", spaces.model),
            ("*Paper_Space", spaces.paper),
        ] {
            self.begin("BLOCK", owner);
            self.pair(100, "AcDbEntity");
            self.pair(8, "0");
            self.pair(100, "AcDbBlockBegin");
            self.pair(2, name);
            self.int(70, 0);
            self.point(10, 0.0, 0.0, true);
            self.pair(3, name);
            self.pair(1, "");
            self.begin("ENDBLK", owner);
            self.pair(100, "AcDbEntity");
            self.pair(8, "0");
            self.pair(100, "AcDbBlockEnd");
        }
        self.end_section();
    }

    /// What stands for an item; nothing for a path without points.
    fn entity(&mut self, item: &Item, pen: Pen, spaces: &Spaces) -> Result<(), Error> {
        let begin = |file: &mut Self, kind: &str, class: &str| {
            file.begin(kind, spaces.model);
            file.pair(100, "AcDbEntity");
            file.pair(8, layer(pen));
            if pen == Pen::Dashed {
                file.pair(6, DASHED);
            }
            file.pair(100, class);
        };
        match item {
            Item::Path { points, closed, .. } => {
                let corners = curve::arcs(points, *closed);
                if corners.is_empty() {
                    return Ok(());
                }
                begin(self, "LWPOLYLINE", "AcDbPolyline");
                self.int(90, corners.len());
                self.int(70, usize::from(*closed));
                for (p, bulge) in &corners {
                    self.point(10, p.x, p.y, false);
                    let bulge = crate::units::fixed(*bulge, BULGE_DECIMALS);
                    if bulge.contains(|c| ('1'..='9').contains(&c)) {
                        self.pair(42, &bulge);
                    }
                }
            }
            Item::Circle { centre, radius, .. } => {
                begin(self, "CIRCLE", "AcDbCircle");
                self.point(10, centre.x, centre.y, true);
                self.size(40, *radius);
            }
            Item::Text {
                at,
                size,
                turn,
                anchor,
                words,
            } => {
                begin(self, "TEXT", "AcDbText");
                self.point(10, at.x, at.y, true);
                self.size(40, *size);
                self.pair(1, &in_ascii(&printable(words)));
                self.size(50, rounded(turn.to_degrees()));
                self.size(41, narrowed(words, *size)?);
                self.pair(7, "Standard");
                self.int(
                    72,
                    match anchor {
                        Anchor::Start => 0,
                        Anchor::Middle => 1,
                        Anchor::End => 2,
                    },
                );
                self.point(11, at.x, at.y, true);
                self.pair(100, "AcDbText");
            }
        }
        Ok(())
    }

    /// The root of what is not an entity, and the groups, of which there are none.
    fn objects(&mut self) {
        self.section("OBJECTS");
        let root = self.begin("DICTIONARY", NOBODY);
        self.pair(100, "AcDbDictionary");
        self.int(281, 1);
        self.pair(3, "ACAD_GROUP");
        let groups = Handle(self.handles + 1);
        self.points_at(350, groups);
        self.begin("DICTIONARY", root);
        self.pair(100, "AcDbDictionary");
        self.int(281, 1);
        self.end_section();
    }

    /// The whole text: the header knows how many handles there are.
    fn finish(self, drawing: &Drawing) -> String {
        let mut head = Self::default();
        head.section("HEADER");
        let name = |file: &mut Self, name: &str| file.pair(9, name);
        name(&mut head, "$ACADVER");
        head.pair(1, "AC1015");
        name(&mut head, "$DWGCODEPAGE");
        head.pair(3, "ANSI_1252");
        name(&mut head, "$HANDSEED");
        head.points_at(5, Handle(self.handles + 1));
        name(&mut head, "$INSUNITS");
        head.int(70, usize::from(MILLIMETRES));
        // Metric: the drawing is in millimetres also for programs that ask no further.
        name(&mut head, "$MEASUREMENT");
        head.int(70, 1);
        for (low, high, height) in [("$EXTMIN", "$EXTMAX", true), ("$LIMMIN", "$LIMMAX", false)] {
            name(&mut head, low);
            head.point(10, 0.0, 0.0, height);
            name(&mut head, high);
            head.point(10, drawing.width, drawing.height, height);
        }
        head.end_section();
        head.body.push_str(&self.body);
        head.pair(0, "EOF");
        head.body
    }
}

/// Words as this release writes them: letters beyond ASCII by their numbers, and what would be read
/// as a code (`^`, `%%`) so that it is drawn as it was typed.
fn in_ascii(words: &str) -> String {
    let mut text = String::with_capacity(words.len());
    let mut units = [0; 2];
    let mut letters = words.chars().peekable();
    while let Some(letter) = letters.next() {
        match letter {
            '^' => text.push_str("^ "),
            '%' if letters.peek() == Some(&'%') || text.ends_with("%%%") => text.push_str("%%%"),
            ' '..='~' => text.push(letter),
            _ => {
                for unit in letter.encode_utf16(&mut units) {
                    text.push_str(&format!("\\U+{unit:04X}"));
                }
            }
        }
    }
    text
}

/// How much narrower than its face has them a program is to draw letters, so that words keep the
/// length they are laid out with: faces of strokes, which most cutting programs use, give every letter
/// about as much room as it is high (from memory). Faces that are narrower by themselves run shorter.
fn narrowed(words: &str, size: f64) -> Result<f64, Error> {
    let letters = words.chars().count().max(1) as f64;
    let factor = text_width(words, size)? / (letters * size);
    Ok((factor.min(1.0) * 100.0).floor() / 100.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::Group;
    use crate::geom::Point2;

    /// The pairs of each entity, by the rule that a pair with code 0 begins the next.
    fn entities(text: &str) -> Vec<Vec<(u16, &str)>> {
        let lines: Vec<&str> = text.lines().collect();
        let pairs = lines
            .chunks(2)
            .map(|p| (p[0].trim().parse().unwrap(), p[1]));
        let mut all: Vec<Vec<(u16, &str)>> = Vec::new();
        for pair in pairs.skip_while(|p| *p != (2, "ENTITIES")).skip(1) {
            if pair == (0, "ENDSEC") {
                break;
            }
            if pair.0 == 0 {
                all.push(Vec::new());
            }
            all.last_mut().unwrap().push(pair);
        }
        all
    }

    #[test]
    fn layers_units_and_closing_are_read_back() {
        let drawing = Drawing {
            width: 100.0,
            height: 60.0,
            title: "board".into(),
            groups: vec![Group {
                id: "L001".into(),
                items: vec![
                    Item::path(
                        Pen::Cut,
                        vec![
                            Point2::new(10.0, 10.0),
                            Point2::new(30.0, 10.0),
                            Point2::new(20.0004, 30.0),
                        ],
                        true,
                    ),
                    Item::Circle {
                        pen: Pen::CutInside,
                        centre: Point2::new(20.0, 15.0),
                        radius: 2.0,
                    },
                    Item::words(Point2::new(20.0, 20.0), 3.0, Anchor::Middle, "Żółć"),
                ],
                clip: None,
            }],
        };
        let text = write(&drawing).unwrap();
        assert_eq!(text, write(&drawing).unwrap());
        assert!(text.is_ascii());
        // Millimetres are number 4 of the units of a block (DXF reference, from memory).
        assert!(text.contains("$INSUNITS\n 70\n4\n"));
        let entities = entities(&text);
        let of = |i: usize, code: u16| -> Vec<&str> {
            entities[i]
                .iter()
                .filter(|p| p.0 == code)
                .map(|p| p.1)
                .collect()
        };
        let layers: Vec<&str> = (0..3).map(|i| of(i, 8)[0]).collect();
        assert_eq!(layers, ["CUT_INSIDE", "CUT", "MARK"]);
        assert_eq!((of(0, 0)[0], of(0, 40)), ("CIRCLE", vec!["2.000"]));
        assert_eq!(of(1, 0)[0], "LWPOLYLINE");
        assert_eq!((of(1, 70), of(1, 10).len()), (vec!["1"], 3));
        assert_eq!(of(2, 1), ["\\U+017B\\U+00F3\\U+0142\\U+0107"]);
        // Four letters as wide as they are high would run over: they are drawn narrower.
        let room = text_width("Żółć", 3.0).unwrap();
        let narrow: f64 = of(2, 41)[0].parse().unwrap();
        let long = 4.0 * 3.0 * narrow;
        assert!(long <= room && long > 0.95 * room, "{long} {room}");
    }

    #[test]
    fn every_handle_is_used_once_and_points_somewhere() {
        let text = write(&Drawing {
            width: 10.0,
            height: 10.0,
            title: String::new(),
            groups: Vec::new(),
        })
        .unwrap();
        let lines: Vec<&str> = text.lines().collect();
        let of = |codes: &[&str]| -> Vec<&str> {
            let pairs = lines.chunks(2).skip_while(|p| p[1] != "TABLES");
            pairs
                .filter(|p| codes.contains(&p[0].trim()))
                .map(|p| p[1])
                .collect()
        };
        let (made, named) = (of(&["5", "105"]), of(&["330", "350"]));
        let mut once = made.clone();
        once.sort_unstable();
        once.dedup();
        assert_eq!(once.len(), made.len());
        assert!(named.iter().all(|h| *h == "0" || made.contains(h)));
    }

    #[test]
    fn what_would_be_a_code_is_drawn_as_it_was_typed() {
        assert_eq!(in_ascii("5 % a^b"), "5 % a^ b");
        assert_eq!(in_ascii("%%d"), "%%%%%%d");
        assert_eq!(in_ascii("π 🎭"), "\\U+03C0 \\U+D83C\\U+DFAD");
    }
}
