"""What each channel asks of the encoder, and what it gets of what all channels share."""

from __future__ import annotations

from coaxwright.immutable import immutable
from coaxwright.reporting.page.charts.frame import figure, frame
from coaxwright.show import figures
from coaxwright.show.markup import Markup


@immutable
class Channel:
    """One channel: picture elements a second asked and given (None for not known)."""

    number: int
    camera: str
    asked: float | None
    given: float | None


@immutable
class Encoder:
    """One recorder's channels and what it encodes in total."""

    recorder: str
    channels: tuple[Channel, ...]
    total: float | None
    demand: float | None


def encode_picture(encoder: Encoder) -> Markup | None:
    """The picture with its caption; None where nothing is known of any channel."""
    values = [each for channel in encoder.channels for each in (channel.asked, channel.given) if each]
    if not values:
        return None
    last = max(channel.number for channel in encoder.channels)
    made = frame((0.3, last + 0.7), (0.0, max(values) / 1e6 * 1.15))
    for channel in encoder.channels:
        if channel.asked:
            made.bar(channel.number, 0.76, channel.asked / 1e6, "column asked")
        if channel.given:
            made.bar(channel.number, 0.5, channel.given / 1e6, "column now")
    title = f"Encode budget of {encoder.recorder} by channel"
    said = _said(encoder)
    step = 1 if last <= 16 else 4
    ticks = [float(each) for each in range(1, last + 1) if step == 1 or each % step == 0]
    return figure(made.done(title, said, "channel", "million pixels a second", ticks), f"{title}. {said}")


def _said(encoder: Encoder) -> str:
    given = sum(channel.given or 0.0 for channel in encoder.channels)
    words = f"Open columns: what a channel could record by itself; filled: what it gets. All get {figures.megapixels(given)}"
    if encoder.total is None:
        return f"{words}; what the recorder encodes in total is not known."
    short = [channel for channel in encoder.channels if channel.asked and (channel.given or 0.0) < channel.asked * 0.999]
    cut = f", and {figures.count(len(short), 'channel')} are cut" if len(short) != 1 else ", and 1 channel is cut"
    return f"{words} of {figures.megapixels(encoder.total)}{cut if short else ', and none is cut'}."
