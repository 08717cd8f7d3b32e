//! Chance that can be repeated: the same seed throws the same dice on every machine.

/// SplitMix64: a counter whose every step is scrambled (G. L. Steele, D. Lea, C. H. Flood, "Fast splittable
/// pseudorandom number generators", 2014). Good enough for a demo, and not for secrets.
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// Dice that start from `seed`.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// Dice of their own for one small matter, named by numbers: adding a member changes nobody else's throws.
    pub fn split(&self, names: &[u64]) -> Self {
        names.iter().fold(self.clone(), |dice, name| Self(Self(dice.0 ^ name.wrapping_mul(0xd6e8_feb8_6659_fd93)).next()))
    }

    /// 64 bits.
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let z = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// From 0 up to, but not including, 1.
    #[expect(clippy::cast_precision_loss, reason = "53 bits fit an f64 exactly")]
    pub fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// True this often: 0 never, 1 always.
    pub fn chance(&mut self, share: f64) -> bool {
        self.unit() < share
    }

    /// Around `middle`, most within `spread` of it, never further than three of it (a sum of twelve throws).
    pub fn around(&mut self, middle: f64, spread: f64) -> f64 {
        let sum: f64 = (0..12).map(|_| self.unit()).sum();
        middle + (sum - 6.0).clamp(-3.0, 3.0) * spread
    }

    /// One of a list that is not empty.
    pub fn pick<'a, T>(&mut self, list: &'a [T]) -> &'a T {
        let n = list.len() as u64;
        #[expect(clippy::cast_possible_truncation, reason = "smaller than the length of a list")]
        let i = (self.next() % n) as usize;
        &list[i]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_generator_gives_its_published_numbers() {
        // The first outputs for seed 1234567, as printed for SplitMix64 in several libraries' tests.
        let mut dice = Dice::new(1_234_567);
        assert_eq!([dice.next(), dice.next()], [6_457_827_717_110_365_317, 3_203_168_211_198_807_973]);
    }

    #[test]
    fn dice_split_by_name_do_not_repeat_each_other() {
        let dice = Dice::new(7);
        assert_ne!(dice.split(&[1, 2]).next(), dice.split(&[2, 1]).next());
    }
}
