//! Between stored sRGB values and amounts of light (IEC 61966-2-1).

use std::sync::LazyLock;

/// Steps of the way back from light to a stored value; 20 fall on the darkest value.
const STEPS: usize = 65_535;

static LIGHT_OF: LazyLock<[f32; 256]> = LazyLock::new(|| {
    std::array::from_fn(|code| {
        let v = code as f64 / 255.0;
        (if v <= 0.040_45 { v / 12.92 } else { libm::pow((v + 0.055) / 1.055, 2.4) }) as f32
    })
});

static CODE_OF: LazyLock<Vec<u8>> = LazyLock::new(|| {
    (0..=STEPS)
        .map(|step| {
            let light = step as f64 / STEPS as f64;
            let v = if light <= 0.003_130_8 { light * 12.92 } else { 1.055 * libm::pow(light, 1.0 / 2.4) - 0.055 };
            (v * 255.0 + 0.5) as u8
        })
        .collect()
});

/// The two tables, looked up once by a caller that goes through many pixels.
#[derive(Clone, Copy)]
pub(crate) struct Light {
    light: &'static [f32; 256],
    code: &'static [u8],
}

impl Light {
    pub(crate) fn tables() -> Self {
        Self { light: &LIGHT_OF, code: &CODE_OF }
    }

    /// A stored straight pixel as light times cover, and cover, each 0 to 1.
    pub(crate) fn of(self, pixel: &[u8]) -> [f32; 4] {
        let &[r, g, b, a] = pixel else { return [0.0; 4] };
        let cover = f32::from(a) / 255.0;
        let part = |code: u8| self.light[usize::from(code)] * cover;
        [part(r), part(g), part(b), cover]
    }

    /// The stored pixel of such an amount; what a filter threw past the ends is cut.
    pub(crate) fn stored(self, [r, g, b, a]: [f32; 4]) -> [u8; 4] {
        let alpha = (a.clamp(0.0, 1.0) * 255.0 + 0.5) as u8;
        if alpha == 0 {
            return [0; 4];
        }
        let code = |part: f32| {
            let step = ((part / a).clamp(0.0, 1.0) * STEPS as f32 + 0.5) as usize;
            self.code.get(step).copied().unwrap_or(255)
        };
        [code(r), code(g), code(b), alpha]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_stored_value_comes_back() {
        let light = Light::tables();
        for code in 0..=255_u8 {
            let pixel = [code, 255 - code, 128, 255];
            assert_eq!(light.stored(light.of(&pixel)), pixel);
        }
        // Half the light is stored as 188 (IEC 61966-2-1: 1.055 · 0.5^(1/2.4) − 0.055 = 0.7354).
        assert_eq!(light.stored([0.5, 0.5, 0.5, 1.0])[0], 188);
    }
}
