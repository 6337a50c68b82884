//! Inputs made from sound ones by damage: bits, bytes, stretches, numbers, words.

/// A small generator of even numbers (xorshift64*, Vigna 2016): the same seed, the same damage.
pub struct Dice(u64);

impl Dice {
    /// A row of throws of its own for each seed.
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    fn throw(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// A number below `end`; 0 when that is 0.
    pub fn below(&mut self, end: usize) -> usize {
        if end == 0 { 0 } else { (self.throw() >> 16) as usize % end }
    }
}

/// Numbers that doors have stumbled over elsewhere.
const NUMBERS: [&str; 18] = [
    "0",
    "-0",
    "-1",
    "1",
    "255",
    "256",
    "65536",
    "2147483648",
    "4294967296",
    "9223372036854775808",
    "18446744073709551616",
    "1e9",
    "1e309",
    "-1e308",
    "5e-324",
    "nan",
    "inf",
    "0.1000000000000000055",
];

/// Words of the forms at the doors, so that keys come to stand where they do not belong.
fn word(dice: &mut Dice, from: &[u8]) -> Vec<u8> {
    let words: Vec<&[u8]> = from
        .split(|b| !(b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_' | b'.')))
        .filter(|w| !w.is_empty())
        .collect();
    words.get(dice.below(words.len())).map(|w| w.to_vec()).unwrap_or_default()
}

/// Where a number stands in a text: from, to.
fn number(dice: &mut Dice, bytes: &[u8]) -> Option<(usize, usize)> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < bytes.len() {
        let long = bytes[at..].iter().take_while(|b| b.is_ascii_digit() || **b == b'.').count();
        if long > 0 {
            found.push((at, at + long));
        }
        at += long.max(1);
    }
    found.get(dice.below(found.len())).copied()
}

/// A damaged copy of `sound`; `other` is another input of the same door to take stretches from.
pub fn damaged(dice: &mut Dice, sound: &[u8], other: &[u8], most: usize) -> Vec<u8> {
    let mut bytes = sound.to_vec();
    for _ in 0..=dice.below(4) {
        let at = dice.below(bytes.len().max(1)).min(bytes.len());
        let to = (at + 1 + dice.below(40)).min(bytes.len());
        match dice.below(10) {
            0 if at < bytes.len() => bytes[at] ^= 1 << dice.below(8),
            1 if at < bytes.len() => bytes[at] = [0, 255, b'\n', b'"', b'<', b'{', b'[', b'-'][dice.below(8)],
            2 => drop(bytes.drain(at..to)),
            3 => {
                let again = bytes[at..to].to_vec();
                for _ in 0..=dice.below(30) {
                    bytes.splice(at..at, again.iter().copied());
                }
            }
            4 => {
                let from = dice.below(other.len());
                let long = dice.below(200).min(other.len() - from);
                bytes.splice(at..to, other[from..from + long].iter().copied());
            }
            5 | 6 => {
                if let Some((from, to)) = number(dice, &bytes) {
                    bytes.splice(from..to, NUMBERS[dice.below(NUMBERS.len())].bytes());
                }
            }
            7 => {
                let word = word(dice, other);
                bytes.splice(at..at, word);
            }
            8 => bytes.truncate(at),
            _ => {
                // Two lines change places.
                let mut lines: Vec<&[u8]> = bytes.split(|b| *b == b'\n').collect();
                let (a, b) = (dice.below(lines.len()), dice.below(lines.len()));
                lines.swap(a, b);
                bytes = lines.join(&b'\n');
            }
        }
        bytes.truncate(most);
    }
    bytes
}
