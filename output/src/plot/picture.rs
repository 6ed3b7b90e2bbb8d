//! A picture as an SVG document or a PNG file.

use plotters::backend::{BitMapBackend, SVGBackend};
use plotters::prelude::{DrawingBackend, IntoDrawingArea, WHITE};

use super::canvas::{Canvas, Medium};
use super::{PlotError, font};

/// Device pixels per logical pixel.
const SVG_SCALE: u32 = 4;
const PNG_SCALE: u32 = 2;

/// Something that is drawn on a canvas of its size.
pub trait Picture {
    /// Width and height, whole logical pixels.
    fn size(&self) -> (u32, u32);

    /// Draws it.
    ///
    /// # Errors
    /// [`PlotError`] if the canvas refuses.
    fn draw<B: DrawingBackend>(&self, canvas: &Canvas<'_, B>) -> Result<(), PlotError>;
}

/// Measures texts on a canvas that goes nowhere.
pub fn measured<T>(
    measure: impl FnOnce(&Canvas<'_, SVGBackend<'_>>) -> Result<T, PlotError>,
) -> Result<T, PlotError> {
    font::ensure_registered()?;
    let mut nowhere = String::new();
    let area = SVGBackend::with_string(&mut nowhere, (1, 1)).into_drawing_area();
    measure(&Canvas::new(&area, 1.0, Medium::Vector))
}

/// As an SVG document.
pub fn svg(picture: &impl Picture) -> Result<String, PlotError> {
    let (width, height) = picture.size();
    let device = (width * SVG_SCALE, height * SVG_SCALE);
    let mut svg = String::new();
    {
        let area = SVGBackend::with_string(&mut svg, device).into_drawing_area();
        area.fill(&WHITE).map_err(refused)?;
        picture.draw(&Canvas::new(&area, f64::from(SVG_SCALE), Medium::Vector))?;
        area.present().map_err(refused)?;
    }
    let fine = format!("width=\"{}\" height=\"{}\"", device.0, device.1);
    let logical = format!("width=\"{width}\" height=\"{height}\"");
    // Mitred joints, the default, would show peaks that are not there.
    Ok(svg
        .replacen(&fine, &logical, 1)
        .replace("<polyline ", "<polyline stroke-linejoin=\"round\" "))
}

/// As a PNG file.
pub fn png(picture: &impl Picture) -> Result<Vec<u8>, PlotError> {
    let (width, height) = picture.size();
    let (width, height) = (width * PNG_SCALE, height * PNG_SCALE);
    let mut pixels = vec![0; width as usize * height as usize * 3];
    {
        let area = BitMapBackend::with_buffer(&mut pixels, (width, height)).into_drawing_area();
        area.fill(&WHITE).map_err(refused)?;
        picture.draw(&Canvas::new(&area, f64::from(PNG_SCALE), Medium::Raster))?;
        area.present().map_err(refused)?;
    }
    let mut file = Vec::new();
    let mut encoder = png::Encoder::new(&mut file, width, height);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(&pixels)?;
    writer.finish()?;
    Ok(file)
}

fn refused(error: impl std::fmt::Display) -> PlotError {
    PlotError::Drawing(error.to_string())
}
