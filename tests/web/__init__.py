"""The page behind the bar."""
