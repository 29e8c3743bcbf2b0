"""REST over the acts: translates and authorises, computes nothing."""
