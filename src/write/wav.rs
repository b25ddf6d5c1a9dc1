//! Sound as WAV: 48 kHz, 24 bits, two channels, not compressed. It goes to its file block by block.

use super::error::WriteError;
use super::samples::{BITS, CHANNELS, each_block};
use crate::sound::{FRAMES_PER_SECOND, Mixer, Strike};
use hound::{SampleFormat, WavSpec, WavWriter};
use std::io::{BufWriter, Seek, Write};

/// A WAV file counts its bytes in 32 bits; its head takes less than a hundred of them. So it holds 4 hours
/// and 8 minutes.
const MOST_FRAMES: u64 = (u32::MAX as u64 - 100) / (CHANNELS * BITS / 8) as u64;

/// Writes all that a mixer has left to a file.
///
/// # Errors
/// Where it is longer than such a file can be, 4 hours and 8 minutes, or where writing fails.
pub fn write<I, W>(mixer: &mut Mixer<'_, I>, to: W) -> Result<(), WriteError>
where
    I: Iterator<Item = Strike>,
    W: Write + Seek,
{
    if mixer.left() > MOST_FRAMES {
        let minutes = MOST_FRAMES / u64::from(60 * FRAMES_PER_SECOND);
        let why = format!("a WAV file holds {minutes} minutes at most; FLAC holds more");
        return Err(WriteError(why));
    }
    let spec = WavSpec {
        channels: CHANNELS as u16,
        sample_rate: FRAMES_PER_SECOND,
        bits_per_sample: BITS as u16,
        sample_format: SampleFormat::Int,
    };
    let mut writer = WavWriter::new(BufWriter::new(to), spec).map_err(told)?;
    each_block(mixer, |block| {
        block.iter().try_for_each(|sample| writer.write_sample(*sample)).map_err(told)
    })?;
    writer.finalize().map_err(told)
}

fn told(error: hound::Error) -> WriteError {
    WriteError(error.to_string())
}

#[cfg(test)]
mod tests {
    use crate::sound::{Kit, Mixer, Side, Strike, Technique, Voice};
    use std::io::Cursor;

    #[test]
    fn a_file_has_the_form_and_the_length_asked_for() {
        let voice = Voice { key: 38, technique: Technique::Plain };
        let strike = Strike { frame: 100, voice, loudness: 0.8, until: None, hand: Side::Right };
        let mut kit = Kit::own();
        let mut mixer = Mixer::new(&mut kit, [strike], 10_001);
        let mut bytes = Cursor::new(Vec::new());
        super::write(&mut mixer, &mut bytes).unwrap();
        let mut reader = hound::WavReader::new(Cursor::new(bytes.into_inner())).unwrap();
        let spec = reader.spec();
        assert_eq!((spec.channels, spec.sample_rate, spec.bits_per_sample), (2, 48_000, 24));
        assert_eq!(reader.duration(), 10_001);
        let samples: Vec<i32> = reader.samples::<i32>().map(Result::unwrap).collect();
        assert!(samples[..200].iter().all(|sample| *sample == 0));
        assert!(samples.iter().any(|sample| *sample > 100_000));
    }
}
