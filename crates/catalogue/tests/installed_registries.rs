//! Registries as installed, against counts taken independently.
//!
//! Sources of the counts: Debian packages ieee-data 20220827.1 and usb.ids 2025.07.26, counted with
//! another program.

mod common;

use catalogue::Registry;

#[test]
fn counts_of_address_blocks() {
    let test = "counts_of_address_blocks";
    let mut registry = Registry::default();
    for (name, rows) in [
        ("oui.csv", 32_530),
        ("mam.csv", 4_390),
        ("oui36.csv", 5_029),
        ("iab.csv", 4_575),
    ] {
        let path = format!("/usr/share/ieee-data/{name}");
        let Some(bytes) = common::installed(&path, "ieee-data", test) else {
            return;
        };
        let (read, remarks) = registry.add_addresses(&bytes, name);
        assert_eq!(remarks, []);
        assert_eq!(read, rows, "{name}");
    }
}

/// Every block of 28 and 36 bits lies in one of 24 bits; the address decides by the longer.
#[test]
fn longer_blocks_win() {
    let test = "longer_blocks_win";
    let mut registry = Registry::default();
    let mut first = Vec::new();
    for (name, bits) in [("oui.csv", 24), ("mam.csv", 28), ("oui36.csv", 36)] {
        let path = format!("/usr/share/ieee-data/{name}");
        let Some(bytes) = common::installed(&path, "ieee-data", test) else {
            return;
        };
        registry.add_addresses(&bytes, name);
        let text = String::from_utf8(bytes).expect("UTF-8");
        let digits = text
            .lines()
            .nth(1)
            .and_then(|l| l.split(',').nth(1))
            .expect("a row");
        first.push((format!("{digits:0<12}"), bits));
    }
    for (digits, bits) in first {
        let value = u64::from_str_radix(&digits, 16).expect("hexadecimal");
        let address: [u8; 6] = value.to_be_bytes()[2..].try_into().expect("six bytes");
        let block = registry.vendor(&address).expect("registered");
        assert_eq!(block.bits, bits, "{digits}");
    }
    assert_eq!(registry.vendor(&[0x02, 0, 0, 0, 0, 1]), None);
}

#[test]
fn counts_of_usb() {
    let path = "/usr/share/misc/usb.ids";
    let Some(bytes) = common::installed(path, "usb.ids", "counts_of_usb") else {
        return;
    };
    let mut registry = Registry::default();
    // 3,427 vendors and 20,528 products.
    assert_eq!(registry.add_usb(&bytes, "usb.ids"), (23_955, vec![]));
}
