//! Layers of several thicknesses, girths as built brought to those of the solid, and the rest of a
//! stack cut again on a pile of the wrong height.

use std::f64::consts::PI;

use approx::assert_relative_eq;
use layfigure::Error;
use layfigure::asbuilt;
use layfigure::form;
use layfigure::form::totals;
use layfigure::measure::Measure;
use layfigure::say;
use layfigure::stack;
use layfigure::stack::CutFor;
use layfigure::stack::Layer;
use layfigure::stack::Mark;
use layfigure::stack::PieceId;
use layfigure::stack::Pile;
use layfigure::stack::Stack;
use layfigure::tape;
use layfigure::workshop;
use layfigure::workshop::Workshop;

use super::stack::turned;
use crate::forms::{CHORISTER, CONTRALTO, contralto_checked};

fn room(text: &str) -> Workshop {
    workshop::read(text, "room.toml").unwrap()
}

/// A cone that leans by `lean` mm a mm above a drum, with no padding.
fn funnel(lean: f64) -> layfigure::mesh::Mesh {
    turned(0.0, 300.0, 300, |z| 150.0 - lean * (z - 200.0).max(0.0))
}

/// Thick layers where the wall is upright, thin ones where a thick layer would step by more than is
/// allowed: lean 0.8, 10 mm layers step by 8 mm, 3 mm layers by 2.4 mm (plane geometry).
#[test]
fn thin_layers_where_the_wall_leans() {
    let text = "[[layer]]\nmaterial = \"foam\"\nthickness = 10\n[[layer]]\nmaterial = \"felt\"\nthickness = 3\n\
                [padding]\nbatting = 0\ncover = 0\n[form]\nstep = 5\n";
    let (stack, _) = stack::build(&funnel(0.8), &room(text), "funnel").unwrap();
    assert_relative_eq!(stack.top(), 300.0, epsilon = 1e-9);
    // Thin layers also fill what is left at the hem: half of the thinnest at most.
    assert!(stack.bottom().abs() <= 1.5 + 1e-9);
    for pair in stack.layers.windows(2) {
        let layer = &pair[0];
        assert_relative_eq!(pair[1].bottom, layer.top, epsilon = 1e-9);
        assert!(layer.step <= 5.0 + 0.05, "{} {}", layer.index, layer.step);
        let thin = layer.material == 1;
        assert_relative_eq!(
            layer.height(),
            if thin { 3.0 } else { 10.0 },
            epsilon = 1e-9
        );
        // A layer that lies partly on the cone may be either.
        if layer.bottom >= 200.0 {
            assert!(thin, "layer {} leans and is thick", layer.index);
        } else if layer.top <= 200.0 && layer.bottom > 10.0 {
            assert!(!thin, "layer {} is upright and thin", layer.index);
        }
    }
    // Every piece says what it is cut from.
    for piece in stack.pieces() {
        assert!(piece.marks.iter().any(|m| matches!(
            m,
            Mark::Text(w) if w.text == "foam 10.0 mm" || w.text == "felt 3.0 mm"
        )));
    }
    // Where no step is too wide, or none is asked for, the first material serves.
    for text in [
        text.replace("step = 5", "step = 9"),
        text.replace("step = 5", ""),
    ] {
        let (stack, _) = stack::build(&funnel(0.8), &room(&text), "funnel").unwrap();
        assert_eq!(stack.layers.len(), 30);
        assert!(stack.layers.iter().all(|l| l.material == 0));
    }
    // Where even the thinnest steps too far, it is taken all the same.
    let tight = room(&text.replace("step = 5", "step = 1"));
    let (stack, _) = stack::build(&funnel(0.8), &tight, "funnel").unwrap();
    let leaning: Vec<_> = stack.layers.iter().filter(|l| l.bottom > 203.0).collect();
    assert!(leaning.iter().all(|l| l.material == 1));
}

/// Volume and weight of mixed layers: sum of area times thickness times density.
#[test]
fn weight_of_mixed_layers() {
    let text = "[[layer]]\nmaterial = \"foam\"\nthickness = 10\ndensity = 30\nglue_line = 0.2\n\
                [[layer]]\nmaterial = \"felt\"\nthickness = 3\ndensity = 250\n\
                [padding]\nbatting = 0\ncover = 0\n[form]\nstep = 5\n";
    let w = room(text);
    let (stack, _) = stack::build(&funnel(0.8), &w, "funnel").unwrap();
    let sum = |material: usize| -> f64 {
        let own = stack.layers.iter().filter(|l| l.material == material);
        own.map(Layer::area).sum()
    };
    let weight = (sum(0) * 10.0 * 30.0 + sum(1) * 3.0 * 250.0) / 1e9;
    assert_relative_eq!(stack.weight(&w), weight, max_relative = 1e-12);
    let volume = sum(0) * 10.2 + sum(1) * 3.0;
    assert_relative_eq!(stack.volume(), volume, max_relative = 1e-12);
}

fn checked(sheet: &str, workshop: &Workshop) -> form::Checked {
    let sheet = layfigure::sheet::read(sheet, "sheet.toml").unwrap();
    form::check(sheet, workshop, None).unwrap()
}

/// A tape over the padded stack reads every girth within 1 mm of the solid, with layers up to 10 mm,
/// mixed or half scale, and finds the padding by itself: the readings are taken off outlines that
/// know nothing of it.
#[test]
fn girths_as_built_are_those_of_the_solid() {
    for (sheet, text) in [
        (CONTRALTO, ""),
        (CONTRALTO, "[layer]\nmaterial = \"foam\"\nthickness = 10\n"),
        (
            CONTRALTO,
            "[layer]\nmaterial = \"foam\"\nthickness = 10\n[form]\nwedges = 8\n",
        ),
        (
            CHORISTER,
            "[layer]\nmaterial = \"foam\"\nthickness = 10\n[dowel]\ndiameter = 6\n",
        ),
        (
            CONTRALTO,
            "[[layer]]\nmaterial = \"EVA\"\nthickness = 10\n[[layer]]\nmaterial = \"thin EVA\"\nthickness = 4\n[form]\nstep = 6\n",
        ),
        (
            CONTRALTO,
            "[layer]\nmaterial = \"card\"\nthickness = 3\n[dowel]\ndiameter = 5\nedge = 6\n[form]\nscale = 0.5\n",
        ),
    ] {
        let w = room(text);
        let mut checked = checked(sheet, &w);
        let (stack, _) = form::stacked(&checked, &w, None).unwrap();
        asbuilt::read(&stack, &checked.mesh.marks, &mut checked.readings);
        let mut seen = 0;
        for r in &checked.readings {
            if let (Some(solid), Some(built)) = (r.solid, r.built)
                && r.target.measure.key().starts_with("girth.")
                && r.target.measure != Measure::GirthArmscye
            {
                seen += 1;
                assert!(
                    (built - solid).abs() <= 1.0 / stack.scale,
                    "{} {solid} {built} in {text}",
                    r.target.measure
                );
            }
        }
        assert!(seen >= 8, "{seen}");
    }
}

fn ticks(stack: &Stack) -> Vec<layfigure::geom::Point2> {
    stack
        .layers
        .iter()
        .map(|l| {
            let slanting = l.pieces[0].marks.iter().find_map(|m| match m {
                Mark::Line(p)
                    // The marks of the middle stand on it.
                    if p.len() == 2
                        && p[0].x.abs() > 1e-6
                        && ((p[0] - p[1]).norm() - 8.0).abs() < 0.01
                        && l.pieces[0].outline.distance(p[0]) < 1e-6 =>
                {
                    Some(p[0])
                }
                _ => None,
            });
            slanting.expect("every layer has its tick")
        })
        .collect()
}

/// A pile that came out 2.5 mm too high: the pile keeps its pieces, the layers above lie where the
/// pile ends, are as thick as those of the pile turned out, have their levels at the right heights
/// and the dowels where they stand.
#[test]
fn the_rest_is_cut_anew_on_the_pile() {
    let w = Workshop::default();
    let checked = contralto_checked();
    let (before, _) = form::stacked(checked, &w, None).unwrap();
    let pile = Pile {
        restart_at: 41,
        height: 256.5,
    };
    let (after, findings) = form::stacked(checked, &w, Some(pile)).unwrap();
    assert!(
        findings
            .iter()
            .any(|f| f.message().contains("256.5 mm high instead of 254.0 mm"))
    );
    assert_eq!(after.first_to_cut, 41);
    assert_eq!(after.layers_to_cut().len(), after.layers.len() - 40);
    for (a, b) in before.layers.iter().zip(&after.layers).take(40) {
        assert_eq!(a.pieces, b.pieces);
    }
    assert_relative_eq!(after.bottom(), before.bottom(), epsilon = 1e-9);
    assert_relative_eq!(after.layers[39].top, after.bottom() + 256.5, epsilon = 1e-9);
    for pair in after.layers.windows(2) {
        assert_relative_eq!(pair[0].top, pair[1].bottom, epsilon = 1e-9);
        assert_relative_eq!(pair[1].height(), 256.5 / 40.0, epsilon = 1e-9);
    }
    // At most half a layer is left over, at the neck.
    assert!((after.top() - before.top()).abs() <= 256.5 / 80.0 + 1e-9);
    for d in &after.dowels {
        let old = before.dowels.iter().find(|e| e.name == d.name).unwrap();
        assert_eq!((d.at, d.diameter), (old.at, old.diameter));
        let height = after.layers[d.last_layer - 1].top - after.layers[d.first_layer - 1].bottom;
        assert_relative_eq!(d.length, height, epsilon = 1e-9);
        assert!((height - old.length).abs() < 10.0);
        for layer in &after.layers[d.first_layer - 1..d.last_layer] {
            let piece = &layer.pieces[0];
            assert!(piece.rounds().any(|r| r.0 == d.at));
            assert!(piece.outline.distance(d.at) > d.hole / 2.0 + 2.0);
        }
    }
    // The slanting mark goes on from the pile without a break.
    let (old, new) = (ticks(&before), ticks(&after));
    assert_eq!(old[..40], new[..40]);
    for (i, pair) in new.windows(2).enumerate().skip(40) {
        let (foot, _) = after.layers[i + 1].pieces[0]
            .outline
            .nearest(pair[0])
            .unwrap();
        // As the crow flies a step along a bend is a little shorter.
        assert!(
            ((pair[1] - foot).norm() - 256.5 / 40.0).abs() < 0.4,
            "{i} {pair:?} {foot:?}"
        );
    }
    // Girths at levels above the pile are still right, those inside it are not touched.
    let mut readings = tape::check(&checked.mesh, &checked.fit.targets);
    asbuilt::read(&after, &checked.mesh.marks, &mut readings);
    for r in &readings {
        if matches!(r.target.measure, Measure::GirthBust | Measure::GirthNeck) {
            let apart = r.built.unwrap() - r.solid.unwrap();
            assert!(apart.abs() < 1.0, "{} {apart}", r.target.measure);
        }
    }
}

#[test]
fn a_pile_that_cannot_be_is_refused() {
    let w = room("[layer]\nmaterial = \"foam\"\nthickness = 12\n");
    let checked = checked(CONTRALTO, &w);
    let says =
        |restart_at, height| match form::stacked(&checked, &w, Some(Pile { restart_at, height })) {
            Err(Error::Stack(m)) => m.message(),
            other => panic!("{other:?}"),
        };
    assert!(says(1, 0.1).contains("2 to"));
    let (whole, _) = form::stacked(&checked, &w, None).unwrap();
    let layers = whole.layers.len();
    let beyond = says(layers + 1, 12.0 * layers as f64);
    assert!(
        beyond.contains(&format!("the form has {layers}")),
        "{beyond}"
    );
    let wrong = says(21, 480.0);
    assert!(wrong.contains("meant to be 240.0 mm"), "{wrong}");
}

/// The wrap test: whatever lies on the outside adds 2 pi of its thickness to a girth, so a tin of
/// 314.2 mm that reads 351.9 mm wrapped carries 6 mm.
#[test]
fn the_wrap_test_gives_the_padding() {
    let w = room("[padding]\nwrap_bare = 314.2\nwrap_padded = 351.9\ncover = 1\n");
    assert_relative_eq!(w.padding.batting + w.padding.cover, 6.0, epsilon = 0.001);
    for (text, says) in [
        ("[padding]\nwrap_bare = 314\n", "needs both"),
        (
            "[padding]\nwrap_bare = 314\nwrap_padded = 340\nbatting = 3\n",
            "twice",
        ),
        (
            "[padding]\nwrap_bare = 340\nwrap_padded = 314\n",
            "the wrap test gives",
        ),
    ] {
        let Err(Error::Workshop(findings)) = workshop::read(text, "room.toml") else {
            panic!("{text} is not refused");
        };
        assert!(
            findings.iter().any(|f| f.message().contains(says)),
            "{findings:?}"
        );
    }
}

/// Pieces of each material lie on stock of their own.
#[test]
fn every_material_has_its_own_boards() {
    let text = "[[layer]]\nmaterial = \"EVA\"\nthickness = 25\n[[layer]]\nmaterial = \"thin EVA\"\nthickness = 12\n\
                [[stock]]\nwidth = 1000\nlength = 2000\nlayer = 1\n[[stock]]\nwidth = 900\nlength = 1500\nlayer = 2\n\
                [paper]\nsize = \"A0\"\n[form]\nstep = 14\n";
    let w = room(text);
    let form = form::build(checked(CONTRALTO, &w), w, 0).unwrap();
    let material = |id: PieceId| {
        let own = form.stack.layers.iter();
        own.clone()
            .find(|l| l.pieces.iter().any(|p| p.id == id))
            .map(|l| l.material)
            .unwrap()
    };
    let mut seen = [0, 0];
    for board in &form.boards {
        seen[board.stock] += 1;
        for placed in &board.placed {
            assert_eq!(material(placed.piece), board.stock);
        }
    }
    assert!(seen[0] > 0 && seen[1] > 0, "{seen:?}");
    let missing = room(&text.replace("layer = 2", "layer = 1"));
    match form::build(checked(CONTRALTO, &missing), missing, 0) {
        Err(Error::Layout(m)) => {
            let m = m.message();
            assert!(m.contains("layer = 2"), "{m}");
        }
        other => panic!("{:?}", other.map(|f| f.boards.len())),
    }
}

/// Wedges fill wide ledges and no others: on a cone that recedes by 1.2 mm a mm every ledge of a 10 mm
/// layer is a ring 12 mm wide, of area pi (R² - r²) (plane geometry).
#[test]
fn wedges_fill_wide_ledges() {
    let text = "[layer]\nmaterial = \"XPS\"\nthickness = 10\n[padding]\nbatting = 0\ncover = 0\n[form]\nwedges = 8\n";
    let (stack, _) = stack::build(&funnel(1.2), &room(text), "funnel").unwrap();
    assert!(!stack.wedges.is_empty());
    for wedge in &stack.wedges {
        let layer = |index: usize| stack.layers[index - 1].pieces[0].outline.area();
        let ring = layer(wedge.on) - layer(wedge.on + 1);
        assert_relative_eq!(wedge.piece.area, ring, max_relative = 0.01);
        assert!(stack.layers[wedge.on - 1].bottom >= 190.0);
        assert!(wedge.piece.id.of == CutFor::Wedge(wedge.on));
    }
    // Wedges count among the pieces, in area and in what is to be cut as well.
    let layers: usize = stack.layers.iter().map(|l| l.pieces.len()).sum();
    assert_eq!(stack.piece_count(), layers + stack.wedges.len());
    assert_eq!(stack.to_cut().count(), stack.piece_count());
    let area: f64 = stack.to_cut().map(|(_, p)| p.area).sum();
    assert_relative_eq!(stack.area(), area, max_relative = 1e-12);
    // The cover of a cone is a cone: pi (R + r) times its slanted side, here from the middle of one
    // layer to that of another, and the upright half of either beyond.
    let at = |z: f64| {
        stack
            .layers
            .iter()
            .position(|l| l.bottom >= z - 0.1)
            .unwrap()
    };
    let mut part = stack.clone();
    part.layers = stack.layers[at(210.0)..at(260.0)].to_vec();
    let (low, high) = (&part.layers[0], &part.layers[part.layers.len() - 1]);
    let radius = |l: &Layer| (l.pieces[0].outline.area() / PI).sqrt();
    let side = (radius(low) - radius(high)).hypot(high.bottom - low.bottom);
    let cone = PI * (radius(low) + radius(high)) * side;
    let ends = PI * (radius(low) * low.height() + radius(high) * high.height());
    assert_relative_eq!(part.padded_area(), cone + ends, max_relative = 0.002);
    for fewer in [
        text.replace("wedges = 8", "wedges = 14"),
        text.replace("wedges = 8\n", ""),
    ] {
        let (stack, _) = stack::build(&funnel(1.2), &room(&fewer), "funnel").unwrap();
        assert!(stack.wedges.is_empty());
    }
}

/// A guide for the rest counts only what is cut, bought and glued again, and says what is there.
#[test]
fn the_rest_is_counted_alone() {
    let w = room(
        "[layer]\nmaterial = \"EVA\"\nthickness = 20\ncut = \"middle\"\n[stock]\nwidth = 1000\nlength = 600\nprice = 10\n\
         [dowel]\ndiameter = 6\nprice = 2\n[padding]\nprice = 5\n",
    );
    let checked = checked(CHORISTER, &w);
    let pile = Pile {
        restart_at: 16,
        height: 302.0,
    };
    let form = form::rebuild(checked, w, 0, Some(pile), &mut |_| {}).unwrap();
    let anew = &form.stack.layers[15..];
    let sums = totals::totals(&form);
    let around = |p: &stack::Piece| {
        p.outline.perimeter() + p.holes.iter().map(|h| h.ring().perimeter()).sum::<f64>()
    };
    let cut: f64 = anew.iter().flat_map(|l| &l.pieces).map(around).sum();
    assert_relative_eq!(sums.cut_length, cut, max_relative = 1e-12);
    assert_eq!((sums.pieces, sums.laid), (anew.len(), anew.len()));
    // Without wedges a board holds what is cut and nothing else.
    let laid: f64 = form.boards.iter().map(|b| b.used_area).sum();
    assert_relative_eq!(sums.used_area, laid, max_relative = 1e-6);
    assert!(form.stack.dowels.iter().all(|d| d.earlier.is_some()));
    let files = say::folder(&form).unwrap();
    assert!(files.iter().all(|(name, _)| name != "proof.pdf"));
    let guide = files.iter().find(|(name, _)| name == "guide.html").unwrap();
    let guide = String::from_utf8(guide.1.clone()).unwrap();
    let stock = 10.0 * (form.boards.len() as f64 * 1.15).ceil();
    let layers = anew.len();
    for words in [
        "Layers 1 to 15 are piled already".to_owned(),
        format!("cutting {:.1} m by knife", cut / 1e3),
        format!("stacking and gluing {layers} layers"),
        format!("marking {layers} pieces"),
        format!("about <strong>{stock:.0} "),
        "There already, from the first build: dowels".to_owned(),
    ] {
        assert!(guide.contains(&words), "{words}");
    }
    for words in [
        "Hold the proof",
        "Base board, ",
        "Batting that is",
        "Cap plate for",
        "with spare",
        "L015",
    ] {
        assert!(!guide.contains(words), "{words}");
    }
}

/// A form that as built is out of the band of its check card is not called met: the table says to pad.
/// The bands are those of the README: 10 mm for bust and hip, 5 mm for waist, underbust and neck.
#[test]
fn what_is_out_of_its_band_as_built_is_to_be_padded() {
    let w = room("[layer]\nmaterial = \"EVA\"\nthickness = 10\n");
    let pile = Pile {
        restart_at: 41,
        height: 396.0,
    };
    let form = form::rebuild(checked(CONTRALTO, &w), w, 0, Some(pile), &mut |_| {}).unwrap();
    let text = say::built::text(&form);
    let mut out = 0;
    for r in &form.checked.readings {
        let band = match r.target.measure {
            Measure::GirthBust | Measure::GirthHip => 10.0,
            Measure::GirthWaist | Measure::GirthUnderbust | Measure::GirthNeck => 5.0,
            _ => continue,
        };
        let line = line_of(&text, r);
        let off = (r.built.unwrap() - r.target.value).abs() > band;
        assert_eq!(line.ends_with("met, pad"), off, "{line}");
        out += usize::from(off);
    }
    assert!(out > 0 && text.contains("\npad: as built"), "{text}");

    // A tape that lies aslant over thick steps reads long, and padding would only make it longer.
    let w = room("[layer]\nmaterial = \"EVA\"\nthickness = 30\n");
    let form = form::build(checked(CONTRALTO, &w), w, 0).unwrap();
    let text = say::built::text(&form);
    let of = |m: Measure| {
        let readings = &form.checked.readings;
        readings.iter().find(|r| r.target.measure == m).unwrap()
    };
    assert!(text.contains("off: as built"), "{text}");
    let base = of(Measure::GirthNeckBase);
    assert!(base.built.unwrap() - base.target.value > 10.0);
    assert!(line_of(&text, base).ends_with("met, off"), "{text}");
    assert!(
        line_of(&text, of(Measure::GirthHip)).ends_with("met"),
        "{text}"
    );
}

/// The line of a table that a reading stands in.
fn line_of<'a>(table: &'a str, r: &tape::Reading) -> &'a str {
    let name = r.title();
    let mut lines = table.lines();
    lines.find(|l| l.trim().starts_with(&name)).unwrap()
}
