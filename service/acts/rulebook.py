"""The set of rules that the yard goes by."""

from __future__ import annotations

from ..core import gate_profiles
from ..core.gate_profiles import Profile
from . import yard


def profile() -> Profile:
    """The yard's profile of rules."""
    return gate_profiles.profile(yard.show_yard().profile)
