//! A time signature as a key says it.

use crate::score::Meter;
use crate::score::meter::MeterSign;

/// A time signature as a key says it.
pub(crate) fn signature(meter: &Meter) -> String {
    match meter.sign {
        MeterSign::Common => "common".to_owned(),
        MeterSign::Cut => "cut".to_owned(),
        MeterSign::Unprinted => "none".to_owned(),
        MeterSign::Numbers => {
            let upper: Vec<String> = meter.upper.iter().map(u32::to_string).collect();
            format!("{}/{}", upper.join("+"), meter.lower)
        }
    }
}
