//! An address as a matrix code (QR, ISO/IEC 18004), drawn.

use rxing::qrcode::QRCodeWriter;
use rxing::{BarcodeFormat, Writer as _};
use std::fmt::Write as _;

/// Returns the code as a drawing, black on white whatever the page's colours; none where the text is too long.
pub(crate) fn matrix(text: &str) -> Option<String> {
    let bits = QRCodeWriter
        .encode(text, &BarcodeFormat::QR_CODE, 1, 1)
        .ok()?;
    let (width, height) = (bits.width(), bits.height());
    let mut path = String::new();
    for y in 0..height {
        for x in (0..width).filter(|x| bits.get(*x, y)) {
            // Writing to a String cannot fail.
            let _ = write!(path, "M{x} {y}h1v1h-1z");
        }
    }
    Some(format!(
        "<svg class=\"matrix\" viewBox=\"0 0 {width} {height}\" role=\"img\" aria-label=\"The address as a matrix code\" \
         shape-rendering=\"crispEdges\"><rect width=\"{width}\" height=\"{height}\" fill=\"#fff\"/>\
         <path d=\"{path}\" fill=\"#000\"/></svg>"
    ))
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        reason = "a test may stop where its ground is missing"
    )]

    use super::*;

    /// The reader of the same library finds the text in the drawing's own squares, four pixels each.
    #[test]
    fn the_code_reads_as_the_address() {
        let text = "https://192.0.2.7:8443/#A2B3C4";
        let svg = matrix(text).unwrap();
        let width: u32 = svg
            .split("viewBox=\"0 0 ")
            .nth(1)
            .unwrap()
            .split(' ')
            .next()
            .unwrap()
            .parse()
            .unwrap();
        let side = width * 4;
        let mut luma = vec![255_u8; (side * side) as usize];
        let path = svg
            .split("<path d=\"M")
            .nth(1)
            .unwrap()
            .split('"')
            .next()
            .unwrap();
        for square in path.split('M') {
            let (x, y) = square.split_once('h').unwrap().0.split_once(' ').unwrap();
            let (x, y): (u32, u32) = (x.parse().unwrap(), y.parse().unwrap());
            for (dy, dx) in (0..4).flat_map(|dy| (0..4).map(move |dx| (dy, dx))) {
                luma[((y * 4 + dy) * side + x * 4 + dx) as usize] = 0;
            }
        }
        let read =
            rxing::helpers::detect_in_luma(luma, side, side, Some(BarcodeFormat::QR_CODE)).unwrap();
        assert_eq!(read.getText(), text);
    }
}
