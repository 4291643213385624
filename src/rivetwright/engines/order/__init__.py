"""In which order: setups, faces, rivets, sheet holders in and out."""
