//! The pictures of the guide: shaded views with their levels, and the sections.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use maud::{Markup, html};

use crate::form::Form;
use crate::form::levels::{Section, merged};
use crate::form::totals;
use crate::geom::Point2;
use crate::measure::Level;
use crate::render::View;
use crate::say::views;
use crate::units::Unit;

/// Room for the words beside the front view, px.
const ROOM: f64 = 190.0;
/// Size of the words, px.
const SIZE: f64 = 15.0;

/// Levels with a line on the pictures.
fn shown(level: Level) -> bool {
    matches!(
        level,
        Level::Hip
            | Level::TopHip
            | Level::WaistTape
            | Level::Waist
            | Level::Underbust
            | Level::Bust
            | Level::Armpit
            | Level::ShoulderPoint
            | Level::Nape
            | Level::NeckGirth
    )
}

/// The four shaded views, the upright ones with level lines, the first also with their names.
pub(super) fn views(form: &Form, pictures: &[View]) -> Markup {
    let levels: Vec<(f64, String)> = merged(&form.solid, shown);
    // The page sets one size of a pixel for all of them, so that they can be compared.
    let room = |i: usize| if i == 0 { ROOM as usize } else { 0 };
    let widths = pictures.iter().enumerate().map(|(i, v)| v.width + room(i));
    let all: usize = widths.clone().sum();
    let most = widths.max().unwrap_or(0);
    html! {
        div class="pictures" style=(format!("--all: {all}; --most: {most}")) {
            @for (i, view) in pictures.iter().enumerate() {
                figure {
                    (picture(form, view, &levels, i == 0))
                    figcaption { (view.name) }
                }
            }
        }
    }
}

fn picture(form: &Form, view: &View, levels: &[(f64, String)], named: bool) -> Markup {
    let data = format!("data:image/png;base64,{}", STANDARD.encode(&view.png));
    let alt = format!("{}: {}", form.checked.sheet.name, view.title);
    if !view.upright {
        return html! {
            img src=(data) alt=(alt) width=(view.width) height=(view.height)
                style=(format!("--w: {}", view.width));
        };
    }
    let zero = totals::underside(form);
    let unit = form.checked.unit;
    let (w, h) = (view.width as f64, view.height as f64);
    let room = if named { ROOM } else { 0.0 };
    // Heights rise, rows fall: spread from the top down.
    let mut rows: Vec<f64> = levels.iter().map(|(z, _)| view.row(*z)).collect();
    rows.reverse();
    let mut labels = views::spread(&rows, SIZE * 1.3);
    labels.reverse();
    rows.reverse();
    html! {
        svg xmlns="http://www.w3.org/2000/svg" role="img" aria-label=(alt)
            viewBox=(format!("0 0 {:.0} {h:.0}", w + room)) style=(format!("--w: {:.0}", w + room)) {
            image href=(data) x="0" y="0" width=(view.width) height=(view.height) {}
            g stroke="#000" stroke-width="0.9" fill="none" stroke-dasharray="5 3" {
                @for row in &rows {
                    line x1="0" x2=(view.width) y1=(px(*row)) y2=(px(*row)) {}
                }
            }
            @if named {
                g stroke="#000" stroke-width="0.9" {
                    @for (row, label) in rows.iter().zip(&labels) {
                        line x1=(view.width) x2=(px(w + 14.0)) y1=(px(*row)) y2=(px(*label)) {}
                    }
                }
                g font-family="Georgia, serif" font-size=(SIZE) fill="#000" {
                    @for ((z, name), label) in levels.iter().zip(&labels) {
                        text x=(px(w + 18.0)) y=(px(label + SIZE * 0.35)) {
                            (name) " " (unit.show(z - zero))
                        }
                    }
                }
            }
        }
    }
}

fn px(value: f64) -> String {
    crate::units::fixed(value, 1)
}

/// Blank round a section, mm of the body.
const ROUND_IT: f64 = 12.0;
/// Thickness of its lines, mm of the body.
const PEN: f64 = 2.2;

/// Every level's section at one scale, each with its words below it, so that they flow into whatever
/// width there is; then a bar for the scale.
pub(super) fn sections(cuts: &[Section], unit: Unit) -> Markup {
    let most = |axis: usize| cuts.iter().map(|c| c.size()[axis]).fold(0.0, f64::max);
    let (w, h) = (most(0) + 2.0 * ROUND_IT, most(1) + 2.0 * ROUND_IT);
    let frame = format!("{} {} {} {}", px(-w / 2.0), px(-h / 2.0), px(w), px(h));
    let bar = views::bar(unit);
    html! {
        h3 { "Sections" }
        p class="small" { "Of the finished surface, at one scale, front upward." }
        div class="sections" {
            @for cut in cuts {
                figure {
                    svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox=(frame)
                        aria-label={ (cut.level) ": its section" } {
                        (section(cut))
                    }
                    figcaption {
                        strong { (cut.level) } br; (views::girth(cut, unit))
                        @for part in views::across(cut, unit) { br; (part) }
                    }
                }
            }
            figure {
                svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox=(frame)
                    aria-label="a bar at the scale of the sections" {
                    path d=(format!("M{0} -12V0H{1}V-12", px(-bar / 2.0), px(bar / 2.0)))
                        fill="none" stroke="#000" stroke-width=(PEN) {}
                }
                figcaption { "The bar is " (unit.show(bar)) " of the body." }
            }
        }
    }
}

/// The outline of a section, with its centre line and a line from side to side.
fn section(cut: &Section) -> Markup {
    let at = |p: Point2| format!("{} {}", px(p.x), px(-p.y));
    let outline: Vec<String> = cut.centred().map(at).collect();
    let [across, through] = cut.size().map(|v| px(v / 2.0));
    html! {
        path d=(format!("M0 -{through}V{through}M-{across} 0H{across}")) fill="none" stroke="#000"
            stroke-width=(PEN / 2.0) stroke-dasharray="8 5" {}
        path d=(format!("M{}Z", outline.join("L"))) fill="none" stroke="#000" stroke-width=(PEN) {}
    }
}
