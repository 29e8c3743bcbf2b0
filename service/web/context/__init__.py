"""What a request is answered with: who asks, when, in which units."""
