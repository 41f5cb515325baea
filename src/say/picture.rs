//! What pictures for a page are put together from: lines, words and images, in pixels, `y` down.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use svg::node::element;
use svg::node::element::SVG;
use svg::node::element::path::Data;

/// A place, px.
pub(super) type At = (f64, f64);

/// A pixel in ten parts, never minus nought.
pub(super) fn px(v: f64) -> f64 {
    (v * 10.0).round() / 10.0 + 0.0
}

/// An empty picture of this size, and what it shows for those who cannot see it.
pub(super) fn empty(width: f64, height: f64, shows: impl Into<String>) -> SVG {
    framed((0.0, 0.0), (width, height), shows)
}

/// The same with a corner that is not the origin.
pub(super) fn framed(corner: At, size: At, shows: impl Into<String>) -> SVG {
    let frame = (px(corner.0), px(corner.1), px(size.0), px(size.1));
    SVG::new()
        .set("viewBox", frame)
        .set("role", "img")
        .set("aria-label", shows.into())
}

/// Lines of one colour and width, to which paths are added.
pub(super) fn strokes(colour: &str, width: f64) -> element::Group {
    element::Group::new()
        .set("fill", "none")
        .set("stroke", colour)
        .set("stroke-width", px(width))
        .set("stroke-linejoin", "round")
}

/// Words of one size, px, to which [`words`] are added.
pub(super) fn lettering(size: f64) -> element::Group {
    element::Group::new()
        .set("font-family", "Georgia, serif")
        .set("font-size", px(size))
        .set("fill", "#000")
}

/// Words; `anchor` says which point of them stands at the place: `start`, `middle` or `end`.
pub(super) fn words(at: At, anchor: &str, said: impl Into<String>) -> element::Text {
    element::Text::new(said.into())
        .set("x", px(at.0))
        .set("y", px(at.1))
        .set("text-anchor", anchor)
}

/// A path through points.
pub(super) fn path(points: impl IntoIterator<Item = At>, closed: bool) -> element::Path {
    let mut data = Data::new();
    for (i, (x, y)) in points.into_iter().enumerate() {
        let to = (px(x), px(y));
        data = if i == 0 {
            data.move_to(to)
        } else {
            data.line_to(to)
        };
    }
    element::Path::new().set("d", if closed { data.close() } else { data })
}

/// A filled dot.
pub(super) fn dot(at: At, radius: f64) -> element::Circle {
    element::Circle::new()
        .set("cx", px(at.0))
        .set("cy", px(at.1))
        .set("r", radius)
        .set("fill", "#000")
}

/// A shaded picture in its own pixels, the upper left corner at a place.
pub(super) fn shaded(png: &[u8], at: At, size: [usize; 2]) -> element::Image {
    element::Image::new()
        .set("href", data(png))
        .set("x", px(at.0))
        .set("y", px(at.1))
        .set("width", size[0])
        .set("height", size[1])
}

/// A picture as the address that a page finds it at: inside the page.
pub(super) fn data(png: &[u8]) -> String {
    format!("data:image/png;base64,{}", STANDARD.encode(png))
}
