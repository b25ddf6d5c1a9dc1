"""What frames of a screen show while music is played, each told as (the second that sounds then, what is lit)."""

# The clock of sound goes by 128 frames of 48,000 a second.
QUANTUM = 0.003
# Seconds. A stroke may pass unseen between frames that are farther apart.
LONGEST = 0.15


def wrong(frames, shows):
    """Tells of the first frame that shows neither what sounds then nor what did at the frame before: pages draw in either
    order, and late where a machine is busy. `shows` says what is to be lit at a second."""
    for (before, _), (now, lit) in zip(frames, frames[1:]):
        wanted = [shows(time + slack) for time in (before, now) for slack in (-QUANTUM, QUANTUM)]
        if lit not in wanted:
            return f"at {before:.3f} to {now:.3f} s {lit!r} is lit, not one of {wanted}"
    return None


def stalled(frames):
    """Whether the machine was too busy for all to be seen."""
    return any(now - before > LONGEST for (before, _), (now, _) in zip(frames, frames[1:]))
