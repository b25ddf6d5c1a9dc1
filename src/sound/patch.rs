//! What a sound is made of: layers and their parameters. The sounds themselves are in `table`.

/// The sound of one instrument struck in one way.
#[derive(Clone, Copy, Debug)]
pub(super) struct Patch {
    /// Amplitude, by which all layers are multiplied.
    pub(super) level: f64,
    /// The place as the drummer sees it: -1 far left, 0 in the middle, 1 far right.
    pub(super) place: f64,
    /// How much of the room is heard: 0 none, 1 as of a snare drum.
    pub(super) room: f64,
    /// Seconds in which it falls by 60 dB once it is damped.
    pub(super) damp: f64,
    /// What is added up.
    pub(super) layers: Layers,
}

/// The layers of a sound, at most [`MOST`].
pub(super) type Layers = [Option<Layer>; MOST];

/// So many layers a sound has at most.
pub(super) const MOST: usize = 5;

/// Layers, at most [`MOST`] of them.
pub(super) const fn layers<const MANY: usize>(some: [Layer; MANY]) -> Layers {
    let mut all = [None; MOST];
    let mut at = 0;
    while at < MANY {
        all[at] = Some(some[at]);
        at += 1;
    }
    all
}

/// One layer of a sound.
#[derive(Clone, Copy, Debug)]
pub(super) enum Layer {
    /// Single modes of a head, a bar, a block or a bell.
    Modes(Modes),
    /// Wires that rattle as the layers before move them.
    Wires(Wires),
    /// Many modes close together: a plate of metal.
    Plate(Plate),
    /// Noise in a band.
    Hiss(Hiss),
    /// Many small noises one after the other.
    Grains(Grains),
    /// A tone that is blown or rubbed.
    Tone(Tone),
}

/// A mode: its frequency as a ratio to the lowest, and its amplitude.
pub(super) type Mode = (f64, f64);

/// Single modes that are struck together and die away each in its time.
#[derive(Clone, Copy, Debug)]
pub(super) struct Modes {
    /// Frequency of ratio 1, in hertz.
    pub(super) pitch: f64,
    /// Seconds in which ratio 1 falls by 60 dB.
    pub(super) decay: f64,
    /// A mode of ratio r falls in `decay` divided by r to the power of this.
    pub(super) damping: f64,
    /// By which share of it the pitch is raised at first by the hardest stroke.
    pub(super) glide: f64,
    /// Seconds in which that falls to a third (1/e).
    pub(super) glide_time: f64,
    /// The hardest stroke excites modes up to about this frequency in hertz.
    pub(super) reach: f64,
    /// Amplitude.
    pub(super) level: f64,
    /// The modes.
    pub(super) modes: &'static [Mode],
}

/// Noise that follows how the shell moves.
#[derive(Clone, Copy, Debug)]
pub(super) struct Wires {
    /// Between which frequencies, in hertz, it lies when struck hardest.
    pub(super) band: (f64, f64),
    /// Seconds in which it falls by 60 dB.
    pub(super) decay: f64,
    /// Amplitude (root mean square) when struck hardest.
    pub(super) level: f64,
}

/// Modes of a plate, spread over a band.
#[derive(Clone, Copy, Debug)]
pub(super) struct Plate {
    /// The band in hertz.
    pub(super) band: (f64, f64),
    /// How many.
    pub(super) count: u16,
    /// 1: evenly spread in hertz; more: closer together at the lower end.
    pub(super) crowd: f64,
    /// Amplitudes fall with the frequency to the power of this.
    pub(super) tilt: f64,
    /// Seconds in which the lowest falls by 60 dB.
    pub(super) decay: f64,
    /// The others fall in `decay` divided by their ratio to the lowest to the power of this.
    pub(super) damping: f64,
    /// The hardest stroke excites modes up to about this frequency in hertz.
    pub(super) reach: f64,
    /// Amplitude (root mean square) of all together at first.
    pub(super) level: f64,
    /// Which plate: another number is another plate of the same kind.
    pub(super) which: u64,
}

/// Noise that swells and dies away.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hiss {
    /// The band in hertz when struck hardest; struck softly its upper end comes down.
    pub(super) band: (f64, f64),
    /// Seconds in which it has grown to two thirds (1 - 1/e).
    pub(super) attack: f64,
    /// Seconds in which it falls by 60 dB.
    pub(super) decay: f64,
    /// Amplitude (root mean square) when struck hardest.
    pub(super) level: f64,
}

/// Small noises in a row, as of what is shaken, scraped or clapped.
#[derive(Clone, Copy, Debug)]
pub(super) struct Grains {
    /// How many.
    pub(super) count: u16,
    /// Seconds from the first to the last.
    pub(super) span: f64,
    /// How far each may stray from its place in the row, 0 to 1 distances.
    pub(super) stray: f64,
    /// Which part of the row, 0 to 1, is the loudest; it grows to there and falls from there.
    pub(super) summit: f64,
    /// Each of them.
    pub(super) each: Hiss,
}

/// A tone that holds on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tone {
    /// The pitch at the start and at the end, in hertz.
    pub(super) pitch: (f64, f64),
    /// Seconds until it is released.
    pub(super) hold: f64,
    /// Seconds to grow, and seconds in which it falls by 60 dB after that.
    pub(super) attack_release: (f64, f64),
    /// Trill: by which share the pitch goes up and down, and how often in a second.
    pub(super) trill: (f64, f64),
    /// Amplitudes of the second and the third harmonic; the first has 1.
    pub(super) harmonics: (f64, f64),
    /// Amplitude.
    pub(super) level: f64,
}

impl Patch {
    /// The same with another amplitude.
    pub(super) const fn at(self, level: f64) -> Self {
        Self { level, ..self }
    }
}

impl Modes {
    /// The pitch and the decay of ratio 1, up to where modes are excited, and the amplitude; without a
    /// glide, higher modes falling as fast as they are higher.
    pub(super) const fn of(
        modes: &'static [Mode],
        pitch: f64,
        decay: f64,
        reach: f64,
        level: f64,
    ) -> Self {
        Self { pitch, decay, damping: 1.0, glide: 0.0, glide_time: 0.02, reach, level, modes }
    }

    /// With a share by which the pitch starts higher, and the seconds in which that falls to a third.
    pub(super) const fn glides(self, glide: f64, glide_time: f64) -> Self {
        Self { glide, glide_time, ..self }
    }

    /// With another power by which higher modes fall faster.
    pub(super) const fn damped(self, damping: f64) -> Self {
        Self { damping, ..self }
    }
}

impl Plate {
    /// Its number, its band, how many modes it has, the decay of the lowest and the amplitude.
    pub(super) const fn of(
        which: u64,
        band: (f64, f64),
        count: u16,
        decay: f64,
        level: f64,
    ) -> Self {
        let (crowd, tilt, damping, reach) = (1.4, 0.5, 0.6, 9_000.0);
        Self { band, count, crowd, tilt, decay, damping, reach, level, which }
    }

    /// With other powers by which higher modes are softer and fall faster, and another reach in hertz.
    pub(super) const fn shaped(self, tilt: f64, damping: f64, reach: f64) -> Self {
        Self { tilt, damping, reach, ..self }
    }
}

impl Hiss {
    /// Its band, its attack and decay, and the amplitude.
    pub(super) const fn of(band: (f64, f64), attack: f64, decay: f64, level: f64) -> Self {
        Self { band, attack, decay, level }
    }
}

impl Grains {
    /// How many in how many seconds, how far they stray, where the summit is, and each of them.
    pub(super) const fn of(count: u16, span: f64, stray: f64, summit: f64, each: Hiss) -> Self {
        Self { count, span, stray, summit, each }
    }
}
