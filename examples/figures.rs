//! Draws the forms of many sheets on one picture: front, turned, side and back, three bodies to a row.
//!
//! `cargo run --release --example figures -- OUT.png SHEET...`; all stand at one scale.

#![allow(
    clippy::disallowed_methods,
    reason = "what is only compared needs no portable last digit"
)]

use std::error::Error;
use std::io::BufWriter;

use layfigure::{mesh, render, sheet, torso};

/// Bodies to a row.
const ROW: usize = 3;
/// Height of a body 700 mm tall on the picture, px.
const BODY_PX: f64 = 205.0;
/// Height of a cell and clear space round what is in it, px.
const CELL: usize = 285;
const GAP: usize = 6;
/// Colour of the paper.
const PAPER: u8 = 255;

struct Picture {
    width: usize,
    height: usize,
    rgb: Vec<u8>,
}

/// Decodes a view and scales it down to `mm_per_px`, area by area.
fn small(view: &render::View, mm_per_px: f64) -> Result<Picture, Box<dyn Error>> {
    let mut reader = png::Decoder::new(std::io::Cursor::new(&view.png)).read_info()?;
    let mut bytes = vec![0; reader.output_buffer_size().ok_or("too large a picture")?];
    let info = reader.next_frame(&mut bytes)?;
    let channels = info.color_type.samples();
    let ratio = mm_per_px / view.mm_per_px;
    let width = (view.width as f64 / ratio) as usize;
    let height = (view.height as f64 / ratio) as usize;
    let mut rgb = Vec::with_capacity(width * height * 3);
    let span = |i: usize, most: usize| {
        let a = (i as f64 * ratio) as usize;
        a..(((i + 1) as f64 * ratio) as usize).clamp(a + 1, most)
    };
    for y in 0..height {
        for x in 0..width {
            for c in 0..3 {
                let c = c.min(channels - 1);
                let (mut sum, mut n) = (0, 0);
                for v in span(y, view.height) {
                    for u in span(x, view.width) {
                        sum += u32::from(bytes[(v * view.width + u) * channels + c]);
                        n += 1;
                    }
                }
                rgb.push(u8::try_from(sum / n)?);
            }
        }
    }
    Ok(Picture { width, height, rgb })
}

fn main() -> Result<(), Box<dyn Error>> {
    let mut words = std::env::args().skip(1);
    let out = words
        .next()
        .ok_or("call it with a picture to write and sheets")?;
    let paths: Vec<String> = words.collect();
    let mut bodies = Vec::new();
    for path in &paths {
        let sheet = sheet::read(&std::fs::read_to_string(path)?, path)?;
        let fit = torso::fit(&sheet)?;
        let views = render::views(&mesh::build(&fit.torso))?;
        let shown = [0, 1, 2, 3].map(|i| small(&views[i], 700.0 / BODY_PX));
        bodies.push(shown.into_iter().collect::<Result<Vec<_>, _>>()?);
    }
    let breadth = |body: &Vec<Picture>| body.iter().map(|p| p.width + GAP).sum::<usize>();
    let column = bodies.iter().map(breadth).max().unwrap_or(1) + 4 * GAP;
    let columns = ROW.min(bodies.len().max(1));
    let (width, height) = (column * columns, CELL * bodies.len().div_ceil(columns));
    let mut sheet = vec![PAPER; width * height * 3];
    for (i, body) in bodies.iter().enumerate() {
        let mut left = (i % columns) * column + (column - breadth(body)) / 2;
        let foot = (i / columns + 1) * CELL - GAP;
        for picture in body {
            for y in 0..picture.height.min(CELL - GAP) {
                let from = &picture.rgb[(picture.height - 1 - y) * picture.width * 3..];
                let to = ((foot - 1 - y) * width + left) * 3;
                sheet[to..to + picture.width * 3].copy_from_slice(&from[..picture.width * 3]);
            }
            left += picture.width + GAP;
        }
    }
    let file = BufWriter::new(std::fs::File::create(&out)?);
    let mut encoder = png::Encoder::new(file, u32::try_from(width)?, u32::try_from(height)?);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.write_header()?.write_image_data(&sheet)?;
    Ok(())
}
