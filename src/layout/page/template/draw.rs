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
use crate::layout::page::template::canvas::Manner;
use crate::layout::page::template::edge::Label;
use crate::layout::page::template::edge::edge_marks;
use crate::layout::page::template::front;
use crate::layout::page::template::front::TemplateEnd;
use crate::layout::page::template::front::WithinTemplate;
use crate::layout::page::template::hole_mark;
use crate::layout::page::template::laid::Laid;
use crate::layout::page::template::legend::{legend, number};
use crate::layout::page::template::number::numbers;
use crate::layout::page::template::opening;
use crate::stack::Mark;
use crate::stack::mark::TICK;

impl Template {
    /// The lines and strokes without any words: what joins of pages keep their marks off.
    pub(in crate::layout::page) fn strokes(&self) -> Vec<Item> {
        self.begun().0.items
    }

    /// The boxes of its ticks and edge marks, off which joins keep: a stroke on a join is on neither page.
    pub(in crate::layout::page) fn mark_boxes(&self) -> Vec<(Point2, Point2)> {
        self.strokes()
            .iter()
            .filter_map(|item| match item {
                Item::Path {
                    pen: Pen::Mark | Pen::Dashed,
                    points,
                    ..
                } if points.len() == 2 && (points[1] - points[0]).norm() <= TICK => bounds(points),
                _ => None,
            })
            .collect()
    }

    /// All that is drawn, for pages that are laid so: with smaller and fewer words where others leave no room for what
    /// nobody can do without.
    pub(in crate::layout::page) fn items(&self, laid: &Laid) -> Result<Vec<Item>, Error> {
        Ok(self.best(laid)?.0)
    }

    /// Whether all words that nobody can do without find room inside.
    pub(super) fn has_room_inside(&self) -> bool {
        self.best(&Laid::default())
            .is_ok_and(|(_, missing)| missing == 0)
    }

    /// All that is drawn in the manner in which the fewest words are missing, or astray, that nobody can do without,
    /// and how many those are.
    fn best(&self, laid: &Laid) -> Result<(Vec<Item>, usize), Error> {
        let mut best: Option<(Vec<Item>, usize)> = None;
        let manners = [
            Manner::Ample,
            Manner::Scarce,
            Manner::Tight,
            Manner::Tightest,
        ];
        let manners = if self.words_outside {
            // As many of them inside as there is room for.
            &manners[2..]
        } else {
            &manners[..]
        };
        for &manner in manners {
            let (items, missing) = self.written(laid, manner)?;
            if best.as_ref().is_none_or(|(_, least)| missing < *least) {
                best = Some((items, missing));
            }
            if missing == 0 {
                break;
            }
        }
        Ok(best.unwrap_or_default())
    }

    /// All that is drawn in a manner, and how many of those words are missing or astray.
    fn written(&self, laid: &Laid, manner: Manner) -> Result<(Vec<Item>, usize), Error> {
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
        let inside = WithinTemplate::of(self, manner);
        let mut missing = 0;
        front::plate(&inside, laid, &mut canvas)?;
        // On a piece that has its template alone the number beside its edge mark is one more.
        let needed = self.count() > 1 || self.is_half();
        if needed {
            for label in &labels {
                missing += usize::from(label.draw(self, laid, &mut canvas)?);
            }
        }
        if manner == Manner::Tightest {
            missing += usize::from(number(self, &inside, &mut canvas)?);
            missing += usize::from(front::end(TemplateEnd::Front, &inside, &mut canvas)?);
        }
        missing += hole_mark::names(self, laid, manner == Manner::Ample, &mut canvas)?;
        if manner == Manner::Tight {
            missing += usize::from(number(self, &inside, &mut canvas)?);
            missing += usize::from(front::end(TemplateEnd::Front, &inside, &mut canvas)?);
        }
        match manner {
            Manner::Ample | Manner::Scarce => {
                // Where room is scarce the number comes before what is longer.
                if manner == Manner::Scarce {
                    missing += usize::from(number(self, &inside, &mut canvas)?);
                }
                for which in [TemplateEnd::Front, TemplateEnd::Back] {
                    missing += usize::from(front::end(which, &inside, &mut canvas)?);
                }
                missing += front::up(&inside, &mut canvas)?;
            }
            Manner::Tight | Manner::Tightest => {
                missing += front::up(&inside, &mut canvas)?;
                if self.is_half() {
                    missing += usize::from(front::fold(&inside, &mut canvas)?);
                }
                front::end(TemplateEnd::Back, &inside, &mut canvas)?;
            }
        }
        front::sides(&inside, &mut canvas)?;
        opening::words(self, &mut canvas)?;
        if manner == Manner::Ample || self.count() > 1 {
            missing += usize::from(legend(self, &inside, &mut canvas)?);
        }
        if self.is_half() && !matches!(manner, Manner::Tight | Manner::Tightest) {
            missing += usize::from(front::fold(&inside, &mut canvas)?);
        }
        if !needed && matches!(manner, Manner::Ample | Manner::Scarce) {
            for label in &labels {
                label.draw(self, laid, &mut canvas)?;
            }
        }
        Ok((canvas.items, missing))
    }

    /// The lines and strokes, and the numbers of the edge marks that are to come.
    fn begun(&self) -> (Canvas, Vec<Label>) {
        let mut canvas = Canvas::new(&self.room(), self.is_small(), self.words_outside);
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
