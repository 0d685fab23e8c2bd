"""Every tolerance and price of marking, with its reason."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["SETTINGS", "MarkingSettings"]


@dataclass(frozen=True)
class MarkingSettings:
    """Where marking draws its lines. Prices are in nats: ln of how much rarer one explanation is."""

    figures: int = 3
    """Significant figures that careful hand work carries on (common practice)."""
    trig: float = 0.0005
    """Half a unit of the third decimal of a sine or cosine."""
    sigmas: float = 3.0
    """Standard errors of rounding that an equation may lack and still hold."""
    orders: int = 40
    """Orders of joints in which the effect of rounding is tried; it depends on the order."""
    slack: float = 1.25
    """On the largest effect seen in those orders, since a student may take another."""
    sections_up_to: int = 60
    """Members up to which sections are tried beside joints."""
    spread: float = 2.0
    """Range of what a student may write without any reason, in largest key values, either sign."""
    unknown: float = 1.0
    """Price of a slip of a kind not known here; each unexplained number costs this and its own precision."""
    most_slips: int = 3
    """Slips sought in one paper. More would explain anything."""
    beam: int = 6
    """Ideas to which a second slip is added where none stands out alone."""
    pair: float = 3.0
    """Price of taking two at once: there are so many pairs that some fit by chance."""
    equal: float = 3.0
    """Nats within which two places of one idea fit about equally; both are named then."""
    doubt: float = 2.0
    """What speaks for a slip of no known kind beforehand: there are more ways to go wrong than these."""
    sure: float = 0.92
    """Posterior share from which slips are named."""
    agreement: float = 1.0
    """Gain for each equation that comes to hold with the supposed slip, beyond what it explains: a
    student who made the slip made it in all of them."""
    most_agreement: int = 4
    """Such equations that count for a number written wrongly; all of both its joints hold then."""
    scale: float = 3.5
    """Times by which the middle number is larger or smaller than the key's before something must be
    wrong with its unit or its point."""
    out_of_scale: float = 4.0
    """Price of that without a reason."""
    telling: float = 0.05
    """Of the key's largest number: smaller ones are mostly rounding, and tell nothing of unit or scale."""
    backwards: float = 3.0
    """Price of each reaction that joints must give, where the whole truss gives all reactions: hardly anybody
    works that way round."""
    contradiction: float = 4.0
    """Price of each equation that holds without the supposed slip and fails with it."""


SETTINGS = MarkingSettings()
