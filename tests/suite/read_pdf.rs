//! A reader of PDF after ISO 32000-1, clauses 7.2 to 7.5, that shares nothing with the writer: objects
//! by the table of references, pages in their order, strokes and words of a page. The outside checks ask
//! the same of whole folders with pypdf.

use std::collections::BTreeMap;

/// An object of 7.3, or a word: an operator or a key word.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Object {
    Number(f64),
    Name(String),
    Text(Vec<u8>),
    Word(String),
    List(Vec<Self>),
    Dict(BTreeMap<String, Self>),
    /// `12 0 R`
    Link(usize),
}

impl Object {
    pub(crate) fn number(&self) -> f64 {
        match self {
            Self::Number(n) => *n,
            other => panic!("{other:?} is no number"),
        }
    }

    fn dict(&self) -> &BTreeMap<String, Self> {
        match self {
            Self::Dict(d) => d,
            other => panic!("{other:?} is no dictionary"),
        }
    }

    fn list(&self) -> &[Self] {
        match self {
            Self::List(l) => l,
            other => panic!("{other:?} is no list"),
        }
    }

    fn link(&self) -> usize {
        match self {
            Self::Link(id) => *id,
            other => panic!("{other:?} is no reference"),
        }
    }
}

/// Tokens of 7.2 and objects of 7.3.
struct Tokens<'a> {
    bytes: &'a [u8],
    at: usize,
}

fn is_space(b: u8) -> bool {
    matches!(b, 0 | 9 | 10 | 12 | 13 | 32)
}

fn is_delimiter(b: u8) -> bool {
    b"()<>[]{}/%".contains(&b)
}

impl Tokens<'_> {
    fn peek(&self) -> Option<u8> {
        self.bytes.get(self.at).copied()
    }

    fn spaces(&mut self) {
        while let Some(b) = self.peek() {
            if b == b'%' {
                while self.peek().is_some_and(|b| b != b'\n' && b != b'\r') {
                    self.at += 1;
                }
            } else if is_space(b) {
                self.at += 1;
            } else {
                break;
            }
        }
    }

    fn plain(&mut self) -> String {
        let from = self.at;
        while self
            .peek()
            .is_some_and(|b| !is_space(b) && !is_delimiter(b))
        {
            self.at += 1;
        }
        String::from_utf8_lossy(&self.bytes[from..self.at]).into_owned()
    }

    fn until(&mut self, end: u8) -> Vec<Object> {
        let mut all = Vec::new();
        loop {
            self.spaces();
            if self.peek() == Some(end) {
                self.at += 1;
                return all;
            }
            all.push(self.next().expect("a list that does not end"));
            // `12 0 R` stands for one object.
            if let [.., Object::Number(id), Object::Number(_), Object::Word(r)] = all.as_slice()
                && r == "R"
            {
                let id = *id as usize;
                all.truncate(all.len() - 3);
                all.push(Object::Link(id));
            }
        }
    }

    fn literal(&mut self) -> Object {
        let mut text = Vec::new();
        let mut depth = 1;
        loop {
            let b = self.peek().expect("a string that does not end");
            self.at += 1;
            match b {
                b'\\' => {
                    let escaped = self.peek().unwrap();
                    self.at += 1;
                    match escaped {
                        b'n' => text.push(b'\n'),
                        b'r' => text.push(b'\r'),
                        b't' => text.push(b'\t'),
                        b'b' => text.push(8),
                        b'f' => text.push(12),
                        b'0'..=b'7' => {
                            let mut code = u32::from(escaped - b'0');
                            for _ in 0..2 {
                                if let Some(d @ b'0'..=b'7') = self.peek() {
                                    code = code * 8 + u32::from(d - b'0');
                                    self.at += 1;
                                }
                            }
                            text.push(code as u8);
                        }
                        other => text.push(other),
                    }
                    continue;
                }
                b'(' => depth += 1,
                b')' => depth -= 1,
                _ => {}
            }
            if depth == 0 {
                return Object::Text(text);
            }
            text.push(b);
        }
    }

    fn hexadecimal(&mut self) -> Object {
        let mut digits = Vec::new();
        while let Some(b) = self.peek() {
            self.at += 1;
            if b == b'>' {
                break;
            }
            digits.extend(char::from(b).to_digit(16).map(|d| d as u8));
        }
        if digits.len() % 2 == 1 {
            digits.push(0);
        }
        Object::Text(digits.chunks(2).map(|d| d[0] * 16 + d[1]).collect())
    }

    fn next(&mut self) -> Option<Object> {
        self.spaces();
        let b = self.peek()?;
        self.at += 1;
        Some(match b {
            b'/' => Object::Name(self.plain()),
            b'(' => self.literal(),
            b'[' => Object::List(self.until(b']')),
            b'<' if self.peek() == Some(b'<') => {
                self.at += 1;
                let flat = self.until(b'>');
                assert_eq!(self.peek(), Some(b'>'));
                self.at += 1;
                let pairs = flat.chunks(2).map(|pair| match pair {
                    [Object::Name(name), value] => (name.clone(), value.clone()),
                    other => panic!("{other:?} is no entry"),
                });
                Object::Dict(pairs.collect())
            }
            b'<' => self.hexadecimal(),
            _ => {
                self.at -= 1;
                let word = self.plain();
                assert!(!word.is_empty(), "byte {b} at {}", self.at);
                word.parse()
                    .map_or(Object::Word(word), |n: f64| Object::Number(n))
            }
        })
    }
}

/// A document that has been read.
pub(crate) struct Pdf {
    objects: BTreeMap<usize, Object>,
    streams: BTreeMap<usize, Vec<u8>>,
    pub(crate) catalog: BTreeMap<String, Object>,
    /// Pages in the order in which they are printed.
    pub(crate) pages: Vec<BTreeMap<String, Object>>,
}

fn find(bytes: &[u8], words: &[u8]) -> usize {
    let found = bytes.windows(words.len()).rposition(|w| w == words);
    found.expect("a part of the file is missing")
}

impl Pdf {
    pub(crate) fn read(bytes: &[u8]) -> Self {
        assert!(bytes.starts_with(b"%PDF-1.7"));
        let end = find(bytes, b"startxref");
        let tokens = |at: usize| Tokens { bytes, at };
        let start = tokens(end + 9).next().unwrap().number() as usize;
        let mut table = tokens(start);
        assert_eq!(table.next(), Some(Object::Word("xref".into())));
        assert!(table.next().unwrap().number().abs() < 0.5);
        let count = table.next().unwrap().number() as usize;
        let mut objects = BTreeMap::new();
        let mut streams = BTreeMap::new();
        for id in 0..count {
            let at = table.next().unwrap().number() as usize;
            table.next();
            if table.next() != Some(Object::Word("n".into())) {
                continue;
            }
            let mut object = tokens(at);
            assert_eq!(object.next().unwrap().number() as usize, id);
            object.next();
            assert_eq!(object.next(), Some(Object::Word("obj".into())));
            // Read to the end of the object, so that a lone reference is one, too.
            let value = object.next().unwrap();
            if object.next() == Some(Object::Word("stream".into())) {
                let from = object.at + if bytes[object.at] == b'\r' { 2 } else { 1 };
                let length = value.dict()["Length"].number() as usize;
                let mut data = bytes[from..from + length].to_vec();
                if let Some(filter) = value.dict().get("Filter") {
                    assert_eq!(*filter, Object::Name("FlateDecode".into()));
                    data = miniz_oxide::inflate::decompress_to_vec_zlib(&data).unwrap();
                }
                let mut after = tokens(from + length);
                assert_eq!(after.next(), Some(Object::Word("endstream".into())));
                streams.insert(id, data);
            }
            objects.insert(id, value);
        }
        assert_eq!(table.next(), Some(Object::Word("trailer".into())));
        let trailer = table.next().unwrap();
        let catalog = objects[&trailer.dict()["Root"].link()].dict().clone();
        let tree = objects[&catalog["Pages"].link()].dict();
        let kids = tree["Kids"].list().iter();
        let pages = kids.map(|k| objects[&k.link()].dict().clone()).collect();
        Self {
            objects,
            streams,
            catalog,
            pages,
        }
    }

    fn at<'a>(&'a self, object: &'a Object) -> &'a Object {
        match object {
            Object::Link(id) => &self.objects[id],
            other => other,
        }
    }

    /// A key of a dictionary, at whatever depth `path` leads to.
    pub(crate) fn entry(&self, from: &BTreeMap<String, Object>, path: &[&str]) -> Object {
        let mut object = Object::Dict(from.clone());
        for key in path {
            object = self.at(&object.dict()[*key]).clone();
        }
        object
    }

    /// Whether any dictionary of the file has this key.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.objects
            .values()
            .any(|o| matches!(o, Object::Dict(d) if d.contains_key(key)))
    }

    /// Width and height of a page, mm; it begins at the origin. The unit is 1/72 in (8.3.2.3).
    pub(crate) fn size(&self, page: usize) -> [f64; 2] {
        let media = self.entry(&self.pages[page], &["MediaBox"]);
        let media: Vec<f64> = media.list().iter().map(Object::number).collect();
        assert!(media[0].abs() < 1e-9 && media[1].abs() < 1e-9);
        [2, 3].map(|k| media[k] * 25.4 / 72.0)
    }

    /// Operators of a page, each with what stands before it (7.8.2).
    fn operations(&self, page: usize) -> Vec<(String, Vec<Object>)> {
        let contents = &self.pages[page]["Contents"];
        let mut tokens = Tokens {
            bytes: &self.streams[&contents.link()],
            at: 0,
        };
        let mut all = Vec::new();
        let mut operands = Vec::new();
        while let Some(object) = tokens.next() {
            match object {
                Object::Word(word) => all.push((word, std::mem::take(&mut operands))),
                other => operands.push(other),
            }
        }
        all
    }

    /// Straight strokes of a page, mm: start and end. The page may be stretched, not turned.
    pub(crate) fn strokes(&self, page: usize) -> Vec<[[f64; 2]; 2]> {
        let mut scale = [25.4 / 72.0; 2];
        let mut saved = Vec::new();
        let mut at: Vec<[f64; 2]> = Vec::new();
        let mut found = Vec::new();
        for (operator, operands) in self.operations(page) {
            let v = |k: usize| operands[k].number();
            match operator.as_str() {
                "q" => saved.push(scale),
                "Q" => scale = saved.pop().unwrap(),
                "cm" => {
                    let turned = v(1).abs() + v(2).abs();
                    assert!(turned < 1e-12, "turned or sheared");
                    scale = [scale[0] * v(0), scale[1] * v(3)];
                }
                "m" => at = vec![[v(0) * scale[0], v(1) * scale[1]]],
                "l" => at.push([v(0) * scale[0], v(1) * scale[1]]),
                "S" => {
                    if let [a, b] = at.as_slice() {
                        found.push([*a, *b]);
                    }
                }
                _ => {}
            }
        }
        found
    }

    /// Words of a page, those of each operator in a line of their own, by the fonts' own tables of what
    /// their codes mean (9.10.3).
    pub(crate) fn words(&self, page: usize) -> String {
        let fonts = self.entry(&self.pages[page], &["Resources", "Font"]);
        let mut meaning: BTreeMap<String, BTreeMap<Vec<u8>, String>> = BTreeMap::new();
        for (name, font) in fonts.dict() {
            let table = self.at(font).dict()["ToUnicode"].link();
            meaning.insert(name.clone(), codes(&self.streams[&table]));
        }
        let mut font = String::new();
        let mut out = String::new();
        for (operator, operands) in self.operations(page) {
            match (operator.as_str(), operands.as_slice()) {
                ("Tf", [Object::Name(name), _]) => font.clone_from(name),
                ("Tj", [Object::Text(text)]) => {
                    for code in text.chunks(2) {
                        out.push_str(&meaning[&font][code]);
                    }
                    out.push('\n');
                }
                ("TJ", _) => panic!("words with gaps are not read here"),
                _ => {}
            }
        }
        out
    }
}

/// The single codes of a table of meanings, UTF-16 on its right side.
fn codes(table: &[u8]) -> BTreeMap<Vec<u8>, String> {
    let mut tokens = Tokens {
        bytes: table,
        at: 0,
    };
    let mut found = BTreeMap::new();
    let mut texts: Vec<Vec<u8>> = Vec::new();
    while let Some(object) = tokens.next() {
        match object {
            Object::Text(text) => texts.push(text),
            Object::Word(word) if word == "endbfchar" => {
                for pair in texts.chunks(2) {
                    let units: Vec<u16> = pair[1]
                        .chunks(2)
                        .map(|u| u16::from_be_bytes([u[0], u[1]]))
                        .collect();
                    found.insert(pair[0].clone(), String::from_utf16(&units).unwrap());
                }
                texts.clear();
            }
            Object::Word(_) => texts.clear(),
            _ => {}
        }
    }
    found
}
