//! Drawing a template: its lines with their numbers, the holes with their names, the edge marks, and words.
//! What is drawn first has its room first. Words come when the pages are laid: no join may run through one.

use crate::drawing::Item;
use crate::drawing::Pen;
use crate::error::Error;
use crate::geom::Outline;
use crate::geom::Point2;
use crate::geom::offset::Region;
use crate::geom::offset::stretches_inside;
use crate::layout::bounds;
use crate::layout::page::template::Template;
use crate::layout::page::template::canvas::Canvas;
use crate::layout::page::template::edge::Label;
use crate::layout::page::template::edge::edge_marks;
use crate::layout::page::template::front;
use crate::layout::page::template::front::WithinTemplate;
use crate::layout::page::template::hole_mark;
use crate::layout::page::template::laid::Laid;
use crate::layout::page::template::legend::{legend, number};
use crate::layout::page::template::number::numbers;
use crate::layout::page::template::opening;
use crate::stack::Mark;

impl Template {
    /// The lines and strokes without any words: what joins of pages keep their marks off.
    pub(in crate::layout::page) fn strokes(&self) -> Vec<Item> {
        self.begun().0.items
    }

    /// All that is drawn, for pages that are laid so: with the smallest words where others leave no room for what
    /// nobody can do without.
    pub(in crate::layout::page) fn items(&self, laid: &Laid) -> Result<Vec<Item>, Error> {
        let (first, missing) = self.written(laid, false)?;
        if missing == 0 {
            return Ok(first);
        }
        let (second, still) = self.written(laid, true)?;
        Ok(if still < missing { second } else { first })
    }

    /// All that is drawn, and how many of the words are missing, or astray, that nobody can do without.
    fn written(&self, laid: &Laid, small: bool) -> Result<(Vec<Item>, usize), Error> {
        let (mut canvas, labels) = self.begun();
        for [a, b] in &laid.lines {
            canvas.free.take_line(&[*a, *b]);
        }
        for corners in &laid.boxes {
            if let Some((low, high)) = bounds(corners) {
                canvas.free.take(low, high);
            }
        }
        numbers(self, laid, &mut canvas)?;
        let inside = WithinTemplate::of(self, small);
        let mut missing = hole_mark::names(self, laid, !small, &mut canvas)?;
        // Where room is scarce the number comes before what is longer.
        if small {
            missing += usize::from(number(self, &inside, &mut canvas)?);
        }
        missing +=
            front::front_and_back(&inside, &mut canvas)? + front::sides(&inside, &mut canvas)?;
        front::plate(&inside, &mut canvas)?;
        opening::sides(self, &mut canvas)?;
        if !small || self.count() > 1 {
            missing += usize::from(legend(self, &inside, &mut canvas)?);
        }
        if self.is_half() {
            front::fold(&inside, &mut canvas)?;
        }
        for label in labels {
            label.draw(self, &mut canvas)?;
        }
        Ok((canvas.items, missing))
    }

    /// The lines and strokes, and the numbers of the edge marks that are to come.
    fn begun(&self) -> (Canvas, Vec<Label>) {
        let mut canvas = Canvas::new(&self.room());
        for line in &self.lines {
            canvas.free.take_line(&line.stroke());
            canvas
                .items
                .push(Item::path(Pen::Cut, line.path.clone(), !line.half));
        }
        opening::draw(self, &mut canvas);
        self.edge_of_the_layer_above(&mut canvas);
        let mut labels = Vec::new();
        for of in 0..self.lines.len() {
            labels.extend(edge_marks(self, of, &mut canvas));
        }
        for hole in &self.holes {
            hole_mark::draw(hole, self, &mut canvas);
        }
        if self.is_half() {
            canvas.stroke(Pen::Mark, &self.lines[0].ends_on_fold());
        }
        (canvas, labels)
    }

    /// In dashes, where one layer has the template to itself and whole.
    fn edge_of_the_layer_above(&self, canvas: &mut Canvas) {
        let [line] = self.lines.as_slice() else {
            return;
        };
        if line.half {
            return;
        }
        let matter = [Region {
            outer: line.outline.clone(),
            holes: line.openings.clone(),
        }];
        for mark in &line.marks {
            let Mark::Above(above) = mark else {
                continue;
            };
            for part in stretches(above, &matter) {
                canvas.stroke(Pen::Dashed, &part);
            }
        }
    }
}

/// What of an outline lies on some matter; all of it closed.
fn stretches(outline: &Outline, matter: &[Region]) -> Vec<Vec<Point2>> {
    if outline.points.iter().all(|p| matter[0].contains(*p)) {
        let closed = outline.points.iter().chain(outline.points.first());
        return vec![closed.copied().collect()];
    }
    stretches_inside(outline, matter)
}
