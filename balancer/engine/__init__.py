"""What a drink holds and what to pour: pure functions on models."""
