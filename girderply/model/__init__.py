"""The girder as geometry: members with real outlines, plates, bearings, hung loads."""
