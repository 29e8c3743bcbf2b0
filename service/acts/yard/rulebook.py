"""The set of rules that the yard goes by."""

from __future__ import annotations

from ...core.gates import profiles as gate_profiles
from ...core.gates.profiles import Profile
from . import settings as yard


def profile() -> Profile:
    """The yard's profile of rules."""
    return gate_profiles.profile(yard.show_yard().profile)
