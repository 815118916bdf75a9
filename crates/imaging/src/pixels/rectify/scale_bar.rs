//! A bar of a round length, to be drawn into a rectified picture.

/// A round length and how long it is in the picture.
#[derive(Debug, Clone, PartialEq)]
pub struct ScaleBar {
    /// Length, mm: 1, 2 or 5 times a power of ten.
    pub length_mm: f64,
    /// Length in the picture, pixels.
    pub length_px: f64,
    /// The length with its unit.
    pub label: String,
}

/// Returns the longest bar of a round length that takes at most a quarter of the width; `None`
/// without a width or a scale.
pub fn scale_bar(pixels_per_mm: f64, width_px: u32) -> Option<ScaleBar> {
    let most = f64::from(width_px) / 4.0 / pixels_per_mm;
    if !(most.is_finite() && most > 0.0) {
        return None;
    }
    let power = most.log10().floor() as i32;
    // Written as text so that 0.2 is the number that prints as 0.2.
    let length_mm = [5, 2, 1]
        .into_iter()
        .filter_map(|digit| format!("{digit}e{power}").parse::<f64>().ok())
        .find(|length| *length <= most * (1.0 + 1e-12))?;
    let label = if length_mm >= 0.1 {
        format!("{length_mm} mm")
    } else {
        format!("{} µm", (length_mm * 1e6).round() / 1e3)
    };
    Some(ScaleBar {
        length_mm,
        length_px: length_mm * pixels_per_mm,
        label,
    })
}
