//! A software renderer for the headless harness: paints egui's triangles on the CPU, so that pictures need neither a
//! GPU nor a display.

use std::collections::HashMap;

use egui::epaint::{ClippedPrimitive, ImageData, Mesh, Primitive, TextureId};
use egui::{Pos2, TexturesDelta};
use egui_kittest::TestRenderer;
use image::RgbaImage;

/// A texture as premultiplied gamma-space bytes, row by row.
#[derive(Default)]
struct Texture {
    size: [usize; 2],
    pixels: Vec<[u8; 4]>,
}

/// Paints on the CPU.
#[derive(Default)]
pub(crate) struct CpuRenderer {
    textures: HashMap<TextureId, Texture>,
}

impl TestRenderer for CpuRenderer {
    #[expect(clippy::iter_over_hash_type, reason = "each texture is updated on its own, so the order changes nothing")]
    fn handle_delta(&mut self, delta: &mut TexturesDelta) {
        for (id, images) in delta.set.drain() {
            for image in images {
                let ImageData::Color(color) = &image.image;
                let texture = self.textures.entry(id).or_default();
                let [w, h] = color.size;
                let [x0, y0] = image.pos.unwrap_or_else(|| {
                    *texture = Texture { size: [w, h], pixels: vec![[0; 4]; w * h] };
                    [0, 0]
                });
                for y in 0..h {
                    for x in 0..w {
                        let at = (y0 + y) * texture.size[0] + x0 + x;
                        texture.pixels[at] = color.pixels[y * w + x].to_array();
                    }
                }
            }
        }
        for id in delta.free.drain() {
            self.textures.remove(&id);
        }
    }

    fn render(&mut self, ctx: &egui::Context, output: &egui::FullOutput) -> Result<RgbaImage, String> {
        let scale = output.pixels_per_point;
        let size = ctx.content_rect().size() * scale;
        let (w, h) = (whole(size.x.round()), whole(size.y.round()));
        let mut target = RgbaImage::from_pixel(w, h, image::Rgba([255, 255, 255, 255]));
        for ClippedPrimitive { clip_rect, primitive } in ctx.tessellate(output.shapes.clone(), scale) {
            let Primitive::Mesh(mesh) = primitive else { continue };
            let texture = self.textures.get(&mesh.texture_id).ok_or("unknown texture")?;
            let clip = [
                whole((clip_rect.min.x * scale).round()).min(w),
                whole((clip_rect.min.y * scale).round()).min(h),
                whole((clip_rect.max.x * scale).round()).min(w),
                whole((clip_rect.max.y * scale).round()).min(h),
            ];
            paint(&mut target, &mesh, texture, clip, scale);
        }
        Ok(target)
    }
}

#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "negative and huge values are clamped")]
fn whole(value: f32) -> u32 {
    value.clamp(0.0, 65_535.0) as u32
}

/// Whether a pixel centre that lies exactly on the edge from `a` to `b` belongs to the triangle: only for top and left
/// edges, so that two triangles sharing an edge never both paint it.
#[expect(clippy::float_cmp, reason = "the two triangles share the very same corners")]
fn owns_edge(a: Pos2, b: Pos2) -> bool {
    (a.y == b.y && b.x < a.x) || b.y > a.y
}

fn paint(target: &mut RgbaImage, mesh: &Mesh, texture: &Texture, clip: [u32; 4], scale: f32) {
    for tri in mesh.indices.chunks_exact(3) {
        let mut v = [0, 1, 2].map(|k| mesh.vertices[tri[k] as usize]);
        let mut area = cross(v[0].pos, v[1].pos, v[2].pos);
        if area < 0.0 {
            v.swap(1, 2);
            area = -area;
        }
        area *= scale * scale;
        if area == 0.0 {
            continue;
        }
        let p = v.map(|v| v.pos * scale);
        let edges = [(p[1], p[2]), (p[2], p[0]), (p[0], p[1])];
        let lo = p[0].min(p[1]).min(p[2]);
        let hi = p[0].max(p[1]).max(p[2]);
        for y in whole(lo.y.floor()).max(clip[1])..whole(hi.y.ceil()).min(clip[3]) {
            for x in whole(lo.x.floor()).max(clip[0])..whole(hi.x.ceil()).min(clip[2]) {
                let q = Pos2::new(x as f32 + 0.5, y as f32 + 0.5);
                let b = edges.map(|(from, to)| cross(from, to, q) / area);
                let outside = (0..3).any(|k| b[k] < 0.0 || (b[k] == 0.0 && !owns_edge(edges[k].1, edges[k].0)));
                if outside {
                    continue;
                }
                blend(target, (x, y), &v, b, texture);
            }
        }
    }
}

fn blend(target: &mut RgbaImage, (x, y): (u32, u32), v: &[egui::epaint::Vertex; 3], b: [f32; 3], texture: &Texture) {
    let mut color = [0.0_f32; 4];
    let (mut u, mut t) = (0.0, 0.0);
    for k in 0..3 {
        let c = v[k].color.to_array();
        for i in 0..4 {
            color[i] += b[k] * f32::from(c[i]);
        }
        u += b[k] * v[k].uv.x;
        t += b[k] * v[k].uv.y;
    }
    let texel = sample(texture, u, t);
    let out = target.get_pixel_mut(x, y);
    let alpha = color[3] * texel[3] / 255.0 / 255.0;
    for i in 0..3 {
        let source = color[i] * texel[i] / 255.0;
        let mixed = (source + f32::from(out.0[i]) * (1.0 - alpha)).round().clamp(0.0, 255.0);
        out.0[i] = u8::try_from(whole(mixed)).unwrap_or(u8::MAX);
    }
}

fn sample(texture: &Texture, u: f32, v: f32) -> [f32; 4] {
    let [w, h] = texture.size;
    let x = (u * w as f32 - 0.5).clamp(0.0, (w - 1) as f32);
    let y = (v * h as f32 - 0.5).clamp(0.0, (h - 1) as f32);
    let (x0, y0) = (whole(x) as usize, whole(y) as usize);
    let (x1, y1) = ((x0 + 1).min(w - 1), (y0 + 1).min(h - 1));
    let (fx, fy) = (x.fract(), y.fract());
    let at = |x: usize, y: usize| texture.pixels[y * w + x];
    std::array::from_fn(|i| {
        let top = f32::from(at(x0, y0)[i]) * (1.0 - fx) + f32::from(at(x1, y0)[i]) * fx;
        let bottom = f32::from(at(x0, y1)[i]) * (1.0 - fx) + f32::from(at(x1, y1)[i]) * fx;
        top * (1.0 - fy) + bottom * fy
    })
}

fn cross(a: Pos2, b: Pos2, c: Pos2) -> f32 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}
