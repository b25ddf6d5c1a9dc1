//! Score to systems: note values, beams, ornaments, spacing, rows under the staff.
