//! Which layers a template is for, outermost first, and how it is used.

use crate::drawing::Pen;
use crate::error::Error;
use crate::face;
use crate::geom::Point2;
use crate::layout::draw_piece::SMALLEST_LETTER;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::front::WithinTemplate;
use crate::layout::page::trimming::PICTURE;
use crate::layout::page::trimming::trimming;

/// How a template of several layers is used.
const USE: [&str; 2] = [
    "cut at the outermost line, trace round the edge, trim to the next line, trace again",
    "trace, trim to the next line, trace again",
];

/// Room between the picture and its words, mm.
const GAP: f64 = 1.0;

/// Heights of the letters of the list, the best first, mm.
const LETTERS: [f64; 3] = [3.2, 2.7, SMALLEST_LETTER];

/// Writes the number of a template of one layer, and says whether it is missing: another piece of the page may be as
/// large.
pub(super) fn number(
    template: &Template,
    inside: &WithinTemplate<'_>,
    canvas: &mut Canvas,
) -> Result<bool, Error> {
    let [line] = template.lines.as_slice() else {
        return Ok(false);
    };
    if line.id.of_layer().is_none() {
        return Ok(false);
    }
    let long = format!("{} of {}", line.called, template.layers);
    let texts = [long.as_str(), &line.called];
    Ok(!inside.put(&texts, inside.middle(), |_| true, canvas)?)
}

/// Writes the list and how the template is used. Where there is no room the foot of the page has the layers too. Says
/// whether the number of a template of one layer is missing.
pub(super) fn legend(
    template: &Template,
    inside: &WithinTemplate<'_>,
    canvas: &mut Canvas,
) -> Result<bool, Error> {
    let rows = |with: bool| -> Vec<String> {
        template
            .lines
            .iter()
            .filter(|l| l.id.of_layer().is_some())
            .enumerate()
            .map(|(k, l)| {
                let place = if template.count() > 1 {
                    format!("{}.  ", k + 1)
                } else {
                    String::new()
                };
                let own: Vec<&str> = l.own_words().map(|own| own.text.as_str()).collect();
                let own = if with && !own.is_empty() {
                    format!("   {}", own.join(", "))
                } else {
                    String::new()
                };
                format!("{place}{} of {}{own}", l.called, template.layers)
            })
            .collect()
    };
    for (with, anywhere) in [(true, false), (false, false), (false, true)] {
        for size in LETTERS {
            if block(&rows(with), size, anywhere, inside, canvas)? {
                used(template, inside, canvas)?;
                return Ok(false);
            }
        }
    }
    // Up a narrow one, if it is one line.
    let missing = number(template, inside, canvas)?;
    used(template, inside, canvas)?;
    Ok(missing)
}

/// The line that says how it is used, under a small picture of it where there is room.
fn used(
    template: &Template,
    inside: &WithinTemplate<'_>,
    canvas: &mut Canvas,
) -> Result<(), Error> {
    if template.count() == 1 {
        return Ok(());
    }
    for pictured in [true, false] {
        for text in USE {
            let wide = face::text_width(text, SMALLEST_LETTER)?;
            let high = SMALLEST_LETTER * 1.7;
            let above = if pictured { PICTURE.1 + GAP } else { 0.0 };
            let size = (wide.max(PICTURE.0), high + above);
            let Some(at) = inside.room(size, false, canvas) else {
                continue;
            };
            let low = Point2::new(at.x, at.y - above / 2.0);
            if pictured {
                let corner = Point2::new(at.x - PICTURE.0 / 2.0, low.y + high / 2.0 + GAP);
                for path in trimming(template.is_half()) {
                    let path: Vec<Point2> = path.iter().map(|p| corner + p.coords).collect();
                    canvas.stroke(Pen::Fine, &path);
                }
            }
            return canvas.write(low, 0.0, SMALLEST_LETTER, text);
        }
    }
    Ok(())
}

/// Writes lines of words one under the other, all of one left edge, and says whether there is room.
fn block(
    rows: &[String],
    size: f64,
    anywhere: bool,
    inside: &WithinTemplate<'_>,
    canvas: &mut Canvas,
) -> Result<bool, Error> {
    let widths: Vec<f64> = rows
        .iter()
        .map(|r| face::text_width(r, size))
        .collect::<Result<_, _>>()?;
    let wide = widths.iter().copied().fold(0.0, f64::max);
    let step = size * 1.7;
    let high = step * rows.len() as f64;
    let Some(at) = inside.room((wide, high), anywhere, canvas) else {
        return Ok(false);
    };
    for (k, (row, width)) in rows.iter().zip(&widths).enumerate() {
        let middle = Point2::new(
            at.x - wide / 2.0 + width / 2.0,
            at.y + high / 2.0 - step * (k as f64 + 0.5),
        );
        canvas.write(middle, 0.0, size, row)?;
    }
    Ok(true)
}
