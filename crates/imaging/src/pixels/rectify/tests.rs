//! Both code paths give the same bytes, and both are near the kernels in real numbers.

use super::*;

fn noise(width: u32, height: u32) -> Picture {
    let mut seed = 7u64;
    let rgb = (0..width * height * 3)
        .map(|_| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 56) as u8
        })
        .collect();
    Picture { width, height, rgb }
}

fn keystone() -> Map {
    Map::between_middles([
        [0.93, 0.05, 6.3],
        [-0.04, 0.97, 9.1],
        [1.3e-4, -0.9e-4, 1.0],
    ])
}

const KERNELS: [Kernel; 4] = [
    Kernel::Bilinear,
    Kernel::CatmullRom,
    Kernel::SharpCubic,
    Kernel::Lanczos4,
];

#[test]
fn vector_and_plain_code_give_the_same_bytes() {
    let picture = noise(301, 211);
    for kernel in KERNELS {
        let wanted = RectifyOptions {
            left: 3,
            top: 5,
            width: 290,
            height: 200,
            kernel,
            outside: [9, 80, 200],
        };
        let fast = resample(&picture, &keystone(), &wanted, &mut |_| true).unwrap();
        #[cfg(target_arch = "x86_64")]
        let runner = Runner { simd: None };
        #[cfg(not(target_arch = "x86_64"))]
        let runner = Runner::new();
        let mut plain = picture.clone();
        runner
            .run(&picture, &keystone(), &wanted, &mut plain, &mut |_| true)
            .unwrap();
        assert!(fast == plain, "{kernel:?}");
    }
}

#[test]
fn weights_sum_to_one_and_follow_the_kernel() {
    for kernel in KERNELS {
        match Weights::of(kernel) {
            Weights::Linear => {}
            Weights::Four(table) => sums(table.as_slice()),
            Weights::Eight(table) => sums(table.as_slice()),
        }
    }
}

fn sums<const N: usize>(table: &[[i16; N]]) {
    for (place, row) in table.iter().enumerate() {
        let sum: i32 = row.iter().map(|w| i32::from(*w)).sum();
        assert_eq!(sum, weights::ONE, "{place}: {row:?}");
        let mut turned = table[(weights::PLACES - place) % weights::PLACES];
        if place > 0 {
            turned.reverse();
            let off = row.iter().zip(turned).map(|(a, b)| (a - b).abs()).max();
            assert!(off <= Some(2), "{place}: {row:?} {turned:?}");
        }
    }
}
