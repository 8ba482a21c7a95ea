"""What the passage references share: the voyage, its track, the climate along it, the boat."""
