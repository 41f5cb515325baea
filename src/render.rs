//! Shaded pictures of a solid: parallel projection, a depth buffer, smooth normals, PNG bytes.
//!
//! Nothing here measures: the pictures are for eyes, and [`View`] says how to place level lines on
//! them. Every number that shapes the look is our choice.
//!
//! # Why write the pictures ourselves?
//! A depth buffer is 100 lines; a renderer is a window system and a graphics card.

use rayon::prelude::*;

use crate::error::Error;
use crate::facts;
use crate::geom::{Point3, Vector3};
use crate::mesh::Mesh;
use crate::text;

/// Height of every picture of a set, px; the width follows from the solid.
const HEIGHT_PX: usize = 560;
/// Blank edge round the solid, px.
const EDGE_PX: f64 = 8.0;
/// Samples per pixel in each direction.
const SAMPLES: usize = 2;
/// Faces that meet at a sharper angle than this keep their edge (cosine of 35 degrees).
const CREASE_COS: f64 = 0.819_152;
/// How far the three-quarter view is turned from the front, radians (35 degrees).
const TURN_RAD: f64 = 0.610_865;
/// How far the three-quarter view looks down, radians (8 degrees).
const TILT_RAD: f64 = 0.139_626;
/// Colour of the darkest shade; the lightest is white, so that grey printers lose nothing.
const DARK: [f64; 3] = [46.0, 40.0, 38.0];
/// Colour of a face in full light.
const LIGHT: [f64; 3] = [250.0, 246.0, 239.0];

facts! {
    /// Why there is no picture.
    pub enum PictureFact {
        /// Nothing to draw.
        NoSolid => "there is no solid to draw", "";
        /// It could not be encoded.
        Unwritten {
            /// What the encoder said.
            said: String,
        } => text!["a picture cannot be written: ", said], "";
    }
}

/// One picture.
#[derive(Clone, Debug)]
pub struct View {
    /// File name without its ending: `front`, `side`, `back`, `three-quarter`.
    pub name: &'static str,
    /// What it shows, in words.
    pub title: &'static str,
    /// The picture.
    pub png: Vec<u8>,
    /// Width, px.
    pub width: usize,
    /// Height, px.
    pub height: usize,
    /// Millimetres to a pixel, the same in every view of a set.
    pub mm_per_px: f64,
    /// Whether heights run straight up the picture, so that a level is a level line.
    pub upright: bool,
    /// Height at the top edge of the picture, mm, in the solid's own axes; only for upright views.
    pub top: f64,
}

impl View {
    /// Row of the height `z` (mm, in the solid's own axes), px from the top edge; upright views.
    #[must_use]
    pub fn row(&self, z: f64) -> f64 {
        (self.top - z) / self.mm_per_px
    }
}

/// From where a picture is taken: unit vectors to the right, upward and towards the eye.
struct Camera {
    name: &'static str,
    title: &'static str,
    right: Vector3,
    up: Vector3,
    eye: Vector3,
    /// Whether it looks level, so that heights can be read off its picture.
    level: bool,
}

/// Each is a true, unmirrored view: right, up and eye are a right-handed triple.
fn cameras() -> [Camera; 4] {
    let (s, c) = (libm::sin(TURN_RAD), libm::cos(TURN_RAD));
    let (st, ct) = (libm::sin(TILT_RAD), libm::cos(TILT_RAD));
    [
        Camera {
            name: "front",
            title: "the form from the front",
            right: -Vector3::x(),
            up: Vector3::z(),
            eye: Vector3::y(),
            level: true,
        },
        Camera {
            name: "three-quarter",
            title: "the form from the front and one side",
            right: Vector3::new(-c, s, 0.0),
            up: Vector3::new(-s * st, -c * st, ct),
            eye: Vector3::new(s * ct, c * ct, st),
            level: false,
        },
        Camera {
            name: "side",
            title: "the form from the side, its front to the right",
            right: Vector3::y(),
            up: Vector3::z(),
            eye: Vector3::x(),
            level: true,
        },
        Camera {
            name: "back",
            title: "the form from the back",
            right: Vector3::x(),
            up: Vector3::z(),
            eye: -Vector3::y(),
            level: true,
        },
    ]
}

/// Front, three-quarter, side and back of `mesh`, all at one scale.
///
/// Nothing is mirrored: each is what somebody standing there sees.
///
/// # Errors
/// [`Error::Format`] when the solid is empty or a picture cannot be encoded.
pub fn views(mesh: &Mesh) -> Result<Vec<View>, Error> {
    views_at(mesh, scale(mesh))
}

/// Millimetres to a pixel at which the whole of `mesh` is in every picture.
#[must_use]
pub fn scale(mesh: &Mesh) -> f64 {
    let tallest = cameras()
        .iter()
        .map(|c| {
            let (low, high) = extent(mesh, c.up);
            high - low
        })
        .fold(0.0, f64::max);
    tallest / (HEIGHT_PX as f64 - 2.0 * EDGE_PX)
}

/// The same pictures at a given scale, so that several solids can stand side by side.
///
/// # Errors
/// As [`views`].
pub fn views_at(mesh: &Mesh, mm_per_px: f64) -> Result<Vec<View>, Error> {
    if mesh.vertices.is_empty() || mesh.triangles.is_empty() {
        return Err(Error::format(PictureFact::NoSolid));
    }
    let normals = corner_normals(mesh);
    let cameras = cameras();
    cameras
        .par_iter()
        .map(|camera| picture(mesh, &normals, camera, mm_per_px))
        .collect()
}

fn extent(mesh: &Mesh, axis: Vector3) -> (f64, f64) {
    mesh.vertices
        .iter()
        .map(|p| p.coords.dot(&axis))
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), d| {
            (l.min(d), h.max(d))
        })
}

/// Unit normal at each corner of each triangle: the mean, by area, of the faces round that vertex
/// which do not meet this one at a crease.
fn corner_normals(mesh: &Mesh) -> Vec<[Vector3; 3]> {
    let area_normals: Vec<Vector3> = mesh
        .triangles
        .iter()
        .map(|t| {
            let [a, b, c] = t.map(|i| mesh.vertices[i as usize]);
            (b - a).cross(&(c - a))
        })
        .collect();
    let units: Vec<Vector3> = area_normals
        .iter()
        .map(|n| n.try_normalize(f64::MIN_POSITIVE).unwrap_or_default())
        .collect();
    let mut start = vec![0_usize; mesh.vertices.len() + 1];
    for i in mesh.triangles.iter().flatten() {
        start[*i as usize + 1] += 1;
    }
    for i in 1..start.len() {
        start[i] += start[i - 1];
    }
    let mut next = start.clone();
    let mut faces = vec![0_usize; mesh.triangles.len() * 3];
    for (f, t) in mesh.triangles.iter().enumerate() {
        for i in t {
            faces[next[*i as usize]] = f;
            next[*i as usize] += 1;
        }
    }
    mesh.triangles
        .par_iter()
        .enumerate()
        .map(|(f, t)| {
            t.map(|i| {
                let round = &faces[start[i as usize]..start[i as usize + 1]];
                let sum: Vector3 = round
                    .iter()
                    .filter(|g| units[**g].dot(&units[f]) >= CREASE_COS)
                    .map(|g| area_normals[*g])
                    .sum();
                sum.try_normalize(f64::MIN_POSITIVE).unwrap_or(units[f])
            })
        })
        .collect()
}

fn picture(
    mesh: &Mesh,
    normals: &[[Vector3; 3]],
    camera: &Camera,
    mm_per_px: f64,
) -> Result<View, Error> {
    let (left, right) = extent(mesh, camera.right);
    let (low, high) = extent(mesh, camera.up);
    let width = ((right - left) / mm_per_px + 2.0 * EDGE_PX).ceil() as usize;
    let height = HEIGHT_PX;
    let middle = (low + high) / 2.0;
    let top = middle + height as f64 / 2.0 * mm_per_px;
    let edge = (left + right) / 2.0 - width as f64 / 2.0 * mm_per_px;

    let (w, h) = (width * SAMPLES, height * SAMPLES);
    let per_mm = SAMPLES as f64 / mm_per_px;
    let project = |p: &Point3| {
        [
            (p.coords.dot(&camera.right) - edge) * per_mm,
            (top - p.coords.dot(&camera.up)) * per_mm,
            p.coords.dot(&camera.eye),
        ]
    };
    let seen: Vec<[f64; 3]> = mesh.vertices.iter().map(project).collect();
    let mut depth = vec![f32::NEG_INFINITY; w * h];
    let mut shade = vec![f32::NAN; w * h];
    for (t, n) in mesh.triangles.iter().zip(normals) {
        let [a, b, c] = t.map(|i| seen[i as usize]);
        // Rows run downward, so a face towards the eye turns clockwise on the picture.
        let area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
        if area >= 0.0 {
            continue;
        }
        let light = n.map(|n| brightness(&n, camera));
        let across = span(a[0], b[0], c[0], w);
        let down = span(a[1], b[1], c[1], h);
        for y in down {
            let py = y as f64 + 0.5;
            for x in across.clone() {
                let px = x as f64 + 0.5;
                let u = ((b[0] - px) * (c[1] - py) - (b[1] - py) * (c[0] - px)) / area;
                let v = ((c[0] - px) * (a[1] - py) - (c[1] - py) * (a[0] - px)) / area;
                let t = 1.0 - u - v;
                if u < 0.0 || v < 0.0 || t < 0.0 {
                    continue;
                }
                let z = (u * a[2] + v * b[2] + t * c[2]) as f32;
                let at = y * w + x;
                if z > depth[at] {
                    depth[at] = z;
                    shade[at] = (u * light[0] + v * light[1] + t * light[2]) as f32;
                }
            }
        }
    }
    let grey = average(&shade, width, height);
    Ok(View {
        name: camera.name,
        title: camera.title,
        png: encode(&grey, width, height)?,
        width,
        height,
        mm_per_px,
        upright: camera.level,
        top,
    })
}

/// Samples that a triangle may touch along one axis.
fn span(a: f64, b: f64, c: f64, size: usize) -> std::ops::Range<usize> {
    let low = a.min(b).min(c) - 0.5;
    let high = a.max(b).max(c) - 0.5;
    let from = low.ceil().max(0.0) as usize;
    let to = ((high.floor() + 1.0).max(0.0) as usize).min(size);
    from..to.max(from)
}

/// Light falling on a face: a key from the upper left, a fill from the right, some from all round,
/// and darker towards the silhouette so that the shape stands off white paper. 0 to 1.
fn brightness(normal: &Vector3, camera: &Camera) -> f64 {
    let n = [
        normal.dot(&camera.right),
        normal.dot(&camera.up),
        normal.dot(&camera.eye),
    ];
    let key = (-0.48 * n[0] + 0.55 * n[1] + 0.684 * n[2]).max(0.0);
    let fill = (0.78 * n[0] - 0.1 * n[1] + 0.617 * n[2]).max(0.0);
    let facing = n[2].clamp(0.0, 1.0);
    let turned = 1.0 - facing;
    let light = 0.1 + 0.8 * key + 0.1 * fill;
    (light * (1.0 - 0.45 * turned * turned * turned)).clamp(0.0, 1.0)
}

/// Palette index of every pixel: 0 to 254 from dark to light, 255 is the bare paper, with the
/// samples at the edge of the solid mixed towards it.
fn average(shade: &[f32], width: usize, height: usize) -> Vec<u8> {
    let w = width * SAMPLES;
    let mut out = Vec::with_capacity(width * height);
    for y in 0..height {
        for x in 0..width {
            let mut sum = 0.0;
            for dy in 0..SAMPLES {
                for dx in 0..SAMPLES {
                    let s = shade[(y * SAMPLES + dy) * w + x * SAMPLES + dx];
                    // Half-way to a square root, which stands for the eye's response to light:
                    // enough contrast left for a grey print.
                    sum += if s.is_nan() {
                        255.0
                    } else {
                        (s + s.max(0.0).sqrt()) * 127.0
                    };
                }
            }
            out.push((sum / (SAMPLES * SAMPLES) as f32).round() as u8);
        }
    }
    out
}

fn encode(indices: &[u8], width: usize, height: usize) -> Result<Vec<u8>, Error> {
    let mut palette = Vec::with_capacity(256 * 3);
    for i in 0..=254_u8 {
        let t = f64::from(i) / 254.0;
        for (dark, light) in DARK.iter().zip(LIGHT) {
            palette.push((dark + (light - dark) * t).round() as u8);
        }
    }
    palette.extend([255, 255, 255]);
    let bad = |e: png::EncodingError| {
        let said = e.to_string();
        Error::format(PictureFact::Unwritten { said })
    };
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, width as u32, height as u32);
    encoder.set_color(png::ColorType::Indexed);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_palette(palette);
    encoder.set_compression(png::Compression::Balanced);
    let mut writer = encoder.write_header().map_err(bad)?;
    writer.write_image_data(indices).map_err(bad)?;
    writer.finish().map_err(bad)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A closed upright body of revolution-like rings, finer than any picture needs.
    fn barrel() -> Mesh {
        let (rings, around) = (120_u32, 160_u32);
        let mut mesh = Mesh::default();
        for r in 0..rings {
            let z = -200.0 + 600.0 * f64::from(r) / f64::from(rings - 1);
            let swell = 1.0 + 0.25 * libm::sin(z / 90.0);
            for a in 0..around {
                let t = std::f64::consts::TAU * f64::from(a) / f64::from(around);
                mesh.vertices.push(Point3::new(
                    150.0 * swell * libm::cos(t),
                    100.0 * swell * libm::sin(t),
                    z,
                ));
            }
        }
        for r in 0..rings - 1 {
            for a in 0..around {
                let b = (a + 1) % around;
                let (i, j) = (r * around, (r + 1) * around);
                mesh.triangles.push([i + a, i + b, j + b]);
                mesh.triangles.push([i + a, j + b, j + a]);
            }
        }
        let base = mesh.vertices.len() as u32;
        mesh.vertices.push(Point3::new(0.0, 0.0, -200.0));
        mesh.vertices.push(Point3::new(0.0, 0.0, 400.0));
        for a in 0..around {
            let b = (a + 1) % around;
            let top = (rings - 1) * around;
            mesh.triangles.push([base, b, a]);
            mesh.triangles.push([base + 1, top + a, top + b]);
        }
        mesh
    }

    fn decode(png: &[u8]) -> (u32, u32, Vec<u8>) {
        let mut reader = png::Decoder::new(std::io::Cursor::new(png))
            .read_info()
            .unwrap();
        let mut out = vec![0; reader.output_buffer_size().unwrap()];
        let info = reader.next_frame(&mut out).unwrap();
        (info.width, info.height, out)
    }

    #[test]
    fn silhouette_is_as_wide_and_tall_as_the_solid() {
        let views = views(&barrel()).unwrap();
        let front = &views[0];
        let (w, h, pixels) = decode(&front.png);
        assert_eq!((w as usize, h as usize), (front.width, front.height));
        let inked = |y: usize| {
            (0..front.width)
                .filter(|x| pixels[y * front.width + x] != 255)
                .count() as f64
        };
        // At z = 0 the swell is nil: 300 mm wide (edges are mixed pixels: one to each side).
        let row = front.row(0.0).round() as usize;
        let width_mm = inked(row) * front.mm_per_px;
        assert!(
            (width_mm - 300.0).abs() < 2.5 * front.mm_per_px,
            "{width_mm}"
        );
        let rows = (0..front.height).filter(|y| inked(*y) > 0.0).count() as f64;
        assert!((rows * front.mm_per_px - 600.0).abs() < 2.5 * front.mm_per_px);
        // The same width from the side is the depth, 200 mm.
        let side = views.iter().find(|v| v.name == "side").unwrap();
        let (_, _, pixels) = decode(&side.png);
        let row = side.row(0.0).round() as usize;
        let depth = (0..side.width)
            .filter(|x| pixels[row * side.width + x] != 255)
            .count() as f64
            * side.mm_per_px;
        assert!((depth - 200.0).abs() < 2.5 * side.mm_per_px, "{depth}");
    }

    #[test]
    fn no_view_is_mirrored_and_what_is_behind_is_hidden() {
        for c in cameras() {
            assert!((c.right.cross(&c.up) - c.eye).norm() < 1e-9, "{}", c.name);
        }
        // A dent behind does not show from the front; one in front does.
        let plain = views(&barrel()).unwrap();
        for (y, shows) in [(-1.0, false), (1.0, true)] {
            let mut mesh = barrel();
            for p in &mut mesh.vertices {
                if p.y * y > 60.0 && p.x.abs() < 40.0 && (p.z - 50.0).abs() < 60.0 {
                    p.y *= 0.8;
                }
            }
            let dented = views(&mesh).unwrap();
            assert_eq!(plain[0].png != dented[0].png, shows);
        }
    }

    #[test]
    fn same_solid_same_bytes_and_an_empty_one_is_refused() {
        let mesh = barrel();
        let (a, b) = (views(&mesh).unwrap(), views(&mesh).unwrap());
        for (a, b) in a.iter().zip(&b) {
            assert_eq!(a.png, b.png);
        }
        assert!(views(&Mesh::default()).is_err());
    }
}
