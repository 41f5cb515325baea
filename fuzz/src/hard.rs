//! Hard but readable inputs, drawn from a number: sheets of people as they are measured, with readings that
//! are a little, or a lot, off and now and then a slip of the pen; and workshops whose values lie at the ends
//! of what may be written.

use layfigure::measure::{Kind, Measure};
use layfigure::sheet::{self, Target};
use layfigure::torso;
use layfigure::workshop::ranges;

/// Numbers drawn one after another, the same for the same seed (Steele, Lea and Flood 2014, SplitMix64).
pub struct Draw(u64);

impl Draw {
    /// The draws of `seed`.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0xD1B5_4A32_D192_ED03)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// 0 to 1.
    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn chance(&mut self, of: f64) -> bool {
        self.share() < of
    }

    /// Nearly a normal distribution: the sum of twelve draws.
    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.share()).sum::<f64>() - 6.0
    }

    fn one_of<'t, T: ?Sized>(&mut self, all: &[&'t T]) -> &'t T {
        all[(self.next() % all.len() as u64) as usize]
    }
}

/// Everything that a random body measures, and its figure.
fn anybody(draw: &mut Draw) -> (&'static str, Vec<Target>) {
    loop {
        let figure = draw.one_of(&["woman", "woman", "man", "man", "child"]);
        let (size, tall) = (0.16 * draw.normal(), 0.16 * draw.normal());
        let mut text = format!("unit = \"mm\"\nfigure = \"{figure}\"\n");
        for (measure, share) in [
            (Measure::GirthBust, size),
            (Measure::GirthWaist, size),
            (Measure::GirthHip, size),
            (Measure::HeightStature, tall),
        ] {
            let info = measure.info();
            let [low, high] = match figure {
                "woman" => info.women,
                "man" => info.men,
                _ => info.child,
            };
            let share = 0.45 + share + 0.05 * draw.normal();
            let value = low + (high - low) * share.clamp(0.0, 1.0);
            text.push_str(&format!("{} = {value:.1}\n", measure.key()));
        }
        let fitted = sheet::read(&text, "any.toml").and_then(|sheet| torso::fit(&sheet));
        if let Ok(fit) = fitted {
            return (figure, fit.targets);
        }
    }
}

/// A number of mm as somebody writes it whose sheet is in `unit`.
fn written(draw: &mut Draw, mm: f64, unit: &str) -> String {
    let other = draw.chance(0.15);
    let unit = if other {
        draw.one_of(&["cm", "mm", "in"])
    } else {
        unit
    };
    let (value, marked) = match unit {
        "mm" => (format!("{mm:.0}"), format!("\"{mm:.0} mm\"")),
        "cm" => {
            let cm = mm / 10.0;
            (format!("{cm:.1}"), format!("\"{cm:.1} cm\""))
        }
        _ => {
            let eighths = (mm / 25.4 * 8.0).round();
            let (whole, part) = ((eighths / 8.0).floor(), eighths % 8.0);
            let bare = format!("{:.2}", mm / 25.4);
            if part > 0.0 && whole > 0.0 {
                let fraction = format!("{whole:.0} {part:.0}/8");
                let bare = if draw.chance(0.5) {
                    format!("\"{fraction}\"")
                } else {
                    bare
                };
                (bare, format!("\"{fraction} in\""))
            } else {
                (bare, format!("\"{:.2} in\"", mm / 25.4))
            }
        }
    };
    if other { marked } else { value }
}

/// What a slip of the pen makes of a reading, mm.
fn slip(draw: &mut Draw, mm: f64) -> f64 {
    match draw.next() % 6 {
        0 => mm * 2.54,
        1 => mm / 2.54,
        2 => mm + 100.0,
        3 => mm - 100.0,
        4 => mm + 50.0,
        _ => {
            // The first two digits of the centimetres in each other's place.
            let tens = (mm / 100.0).floor();
            let ones = (mm / 10.0).floor() - 10.0 * tens;
            100.0 * ones + 10.0 * tens
        }
    }
}

/// A measurement sheet that somebody may well have written.
#[must_use]
pub fn sheet(draw: &mut Draw) -> String {
    let (figure, body) = anybody(draw);
    let unit = draw.one_of(&["cm", "cm", "mm", "in"]);
    let waist = draw.one_of(&["natural", "natural", "natural", "iso", "navel"]);
    let mut text =
        format!("name = \"case\"\nunit = \"{unit}\"\nfigure = \"{figure}\"\nwaist = \"{waist}\"\n");
    if draw.chance(0.15) {
        text.push_str("supported = false\n");
    }
    for (key, words) in [
        ("abdomen", &["flat", "average", "full", "pregnant"][..]),
        ("seat", &["flat", "average", "full"]),
        ("blades", &["flat", "average", "full"]),
        ("bust", &["high", "average", "low"]),
        ("bust_form", &["pointed", "average", "round"]),
        ("shoulders", &["square", "average", "sloping"]),
        ("back", &["erect", "average", "rounded"]),
    ] {
        if draw.chance(0.12) {
            text.push_str(&format!("shape.{key} = \"{}\"\n", draw.one_of(words)));
        }
    }
    // How many readings, how far they are off the body that they are of, how often one is a slip.
    let often = [0.15, 0.5, 0.9, 1.0][(draw.next() % 4) as usize];
    let off = [0.0, 0.3, 1.0][(draw.next() % 3) as usize];
    let slips = [0.0, 0.0, 0.03, 0.1][(draw.next() % 4) as usize];
    let sided = [0.0, 0.3, 0.8][(draw.next() % 3) as usize];
    let mut amends = String::new();
    for target in &body {
        let measure = target.measure;
        let needed = matches!(
            measure,
            Measure::GirthBust | Measure::GirthWaist | Measure::GirthHip | Measure::HeightStature
        );
        if !measure.is_sheet_key() || !(needed || draw.chance(often)) {
            continue;
        }
        let info = measure.info();
        let spread = 0.5 * (off * target.plus_minus + info.repeat);
        let reading = |draw: &mut Draw| {
            let read = target.value + spread * draw.normal();
            if draw.chance(slips) && measure.kind() != Kind::Slope {
                slip(draw, read)
            } else {
                read
            }
        };
        let value = |draw: &mut Draw, read: f64| match measure.kind() {
            Kind::Slope => format!("{:.1}", read.to_degrees().max(0.0)),
            Kind::Wall => written(draw, read.max(0.0), unit),
            _ => written(draw, read.max(1.0), unit),
        };
        let mut parts = Vec::new();
        if info.paired && draw.chance(sided) {
            for side in ["left", "right"] {
                let half = if measure.kind() == Kind::Arc {
                    0.5
                } else {
                    1.0
                };
                let read = half * reading(draw);
                parts.push(format!("{side} = {}", value(draw, read)));
            }
        } else {
            let read = reading(draw);
            parts.push(format!("value = {}", value(draw, read)));
        }
        if draw.chance(0.2) {
            let half = 3.0 + 15.0 * draw.share();
            let within = match measure.kind() {
                Kind::Slope => "2.0".to_owned(),
                _ => written(draw, half, unit),
            };
            parts.push(format!("within = {within}"));
        }
        text.push_str(&format!("{} = {{ {} }}\n", measure.key(), parts.join(", ")));
    }
    for _ in 0..draw.next() % 8 / 6 {
        amends.push_str(&format!(
            "[[shape.amend]]\nlevel = \"{}\"\ntowards = \"{}\"\nby = \"{} mm\"\n",
            draw.one_of(&["hip", "waist", "abdomen", "bust", "underbust", "armpit"]),
            draw.one_of(&["front", "back sides", "left", "front right", "sides"]),
            (40.0 * draw.share() - 20.0).round()
        ));
    }
    text + &amends
}

/// The ends of a range: least, most and just inside.
fn end(of: u64, [low, high]: [f64; 2]) -> f64 {
    match of % 4 {
        0 => low,
        1 => high,
        2 => low + 0.001 * (high - low),
        _ => high - 0.001 * (high - low),
    }
}

/// Number `at` of the sheets that have one value at an end of the range of people, then of those that have two.
/// The rest is an average body.
#[must_use]
pub fn sheet_end(at: u64) -> String {
    let all: Vec<Measure> = Measure::ALL
        .into_iter()
        .filter(|m| m.is_sheet_key())
        .collect();
    let mut draw = Draw::new(at);
    let ends = 4 * all.len() as u64;
    let mut values = vec![
        (Measure::GirthBust, 0.4),
        (Measure::GirthWaist, 0.4),
        (Measure::GirthHip, 0.4),
        (Measure::HeightStature, 0.5),
    ];
    let mut at_end = vec![(at, all[(at / 4) as usize % all.len()])];
    if at >= ends {
        at_end.push((draw.next(), all[(draw.next() % all.len() as u64) as usize]));
    }
    let figure = draw.one_of(&["woman", "man", "child"]);
    let mut text = format!("unit = \"mm\"\nfigure = \"{figure}\"\n");
    values.retain(|v| at_end.iter().all(|e| e.1 != v.0));
    at_end.dedup_by_key(|e| e.1);
    let range = |m: Measure| match figure {
        "woman" => m.info().women,
        "man" => m.info().men,
        _ => m.info().child,
    };
    let values = values.into_iter().map(|(m, share)| {
        let [low, high] = range(m);
        (m, low + (high - low) * share)
    });
    let at_end = at_end.into_iter().map(|(of, m)| (m, end(of, range(m))));
    for (m, value) in values.chain(at_end) {
        let value = if m.kind() == Kind::Slope {
            value.to_degrees()
        } else {
            value
        };
        text.push_str(&format!("{} = {value:.2}\n", m.key()));
    }
    text
}

/// Number `at` of the workshops that have one length at an end of its range, then of those that have two; in
/// half scale and thick layers, so that they are quickly built.
#[must_use]
pub fn room_end(at: u64) -> String {
    let mut draw = Draw::new(at);
    let ranges = ranges();
    let many = ranges.len() as u64;
    let mut ends = vec![(at, (at / 4) % many)];
    if at >= 4 * many {
        ends.push((draw.next(), draw.next() % many));
    }
    let mut text = "layer.material = \"EVA foam\"\nform.scale = 0.5\n".to_owned();
    let mut said = Vec::new();
    for (of, key) in ends {
        let (name, low, high) = (
            &*ranges[key as usize].0,
            ranges[key as usize].1,
            ranges[key as usize].2,
        );
        // A thousand thin layers are a long wait; alone they have been thrown.
        let thin = name.starts_with("layer.t") && end(of, [low, high]) < low + 0.5 * (high - low);
        if said.contains(&name) || thin && at >= 4 * many {
            continue;
        }
        said.push(name);
        text.push_str(&format!("{name} = {}\n", end(of, [low, high])));
        let partner = match name {
            "padding.wrap_bare" => Some(("padding.wrap_padded", end(of, [low, high]) + 30.0)),
            "padding.wrap_padded" => Some(("padding.wrap_bare", end(of, [low, high]) - 30.0)),
            _ => None,
        };
        if let Some((name, value)) = partner.filter(|p| !said.contains(&p.0)) {
            said.push(name);
            text.push_str(&format!("{name} = {value}\n"));
        }
    }
    if !said.contains(&"layer.thickness") && !said.contains(&"layer.ten_stacked") {
        text.push_str("layer.thickness = 12\n");
    }
    text
}

/// A workshop whose lengths are absent, least, most, just inside or anywhere in their ranges.
#[must_use]
pub fn room(draw: &mut Draw) -> String {
    let mut text = "unit = \"mm\"\n".to_owned();
    let often = [0.1, 0.3, 0.7][(draw.next() % 3) as usize];
    let mut table = "";
    for (name, low, high) in &ranges() {
        let (of, key) = name.split_once('.').unwrap_or(("", name));
        if of != table {
            table = of;
            text.push_str(&format!("[{of}]\n"));
            match of {
                "layer" => text.push_str(&format!(
                    "material = \"{}\"\ncut = \"{}\"\n",
                    draw.one_of(&["EVA foam", "plywood", "card", "XPS foam", "cork", "felt"]),
                    draw.one_of(&["middle", "inside", "outside"])
                )),
                "stock" => text.push_str(&format!(
                    "roll = {}\ndirection = \"{}\"\norder = \"{}\"\n",
                    draw.one_of(&["true", "false", "false"]),
                    draw.one_of(&["none", "x", "y", "crossed"]),
                    draw.one_of(&["fewest", "layers"])
                )),
                "dowel" => text.push_str(&format!("count = {}\n", 1 + draw.next() % 6)),
                "paper" => text.push_str(&format!(
                    "size = \"{}\"\noutlines = {}\nfold = {}\n",
                    draw.one_of(&["A5", "A4", "A3", "A0", "Letter", "roll 610"]),
                    1 + draw.next() % 3,
                    draw.one_of(&["true", "false"])
                )),
                "form" => text.push_str(&format!("scale = {}\n", draw.one_of(&["1", "0.5"]))),
                _ => {}
            }
        }
        // One of the two that say the same thing is enough.
        let second = matches!(
            name.as_str(),
            "layer.ten_stacked" | "padding.wrap_bare" | "padding.wrap_padded"
        );
        if second || !draw.chance(often) {
            continue;
        }
        let value = match draw.next() % 6 {
            0 => *low,
            1 => *high,
            2 => low + 0.01 * (high - low),
            3 => high - 0.01 * (high - low),
            _ => low + (high - low) * draw.share().powi(2),
        };
        // A thousand thin layers are a long wait and nothing new: few are thrown.
        let value = if *name == "layer.thickness" && value < 4.0 && !draw.chance(0.05) {
            4.0 + value
        } else {
            value
        };
        text.push_str(&format!("{key} = {value:.2}\n"));
    }
    text
}
