"""Page and drawing templates; `girderply.templates` in an installation."""
