//! Picture files: any bytes get a picture or a refusal, within a limit of pixels; what decodes has
//! its stated size and a preview, and a file without its notes stays as it is when cleaned again.

#![no_main]

use imaging::pixels::metadata::{clean, find};
use imaging::pixels::{Format, Limits, decode, preview, size};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    let limits = Limits { most_pixels: 1 << 16 };
    let stated = size(bytes, &limits);
    let _ = find(bytes);
    let _ = preview(bytes, 8, &limits);
    if let Ok(photo) = decode(bytes, &limits) {
        let picture = &photo.picture;
        let stated = stated.as_ref().expect("what decodes states its size");
        assert_eq!([picture.width, picture.height], [stated.width, stated.height]);
        assert_eq!(
            picture.rgb.len(),
            picture.width as usize * picture.height as usize * 3
        );
        let small = preview(bytes, 8, &limits).expect("what decodes has a preview");
        let longest = picture.width.max(picture.height).min(8);
        assert_eq!(small.picture.width.max(small.picture.height), longest);
        assert_eq!(small.orientation, photo.orientation);
    }
    // A TIFF file is decoded to be cleaned, within the usual limit, which is too much here.
    if Format::of(bytes) == Some(Format::Tiff) && stated.is_err() {
        return;
    }
    if let Ok(cleaned) = clean(bytes) {
        let again = clean(&cleaned.bytes).expect("a cleaned file is whole");
        assert!(again.bytes == cleaned.bytes && again.removed.is_empty());
    }
});
