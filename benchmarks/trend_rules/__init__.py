"""The trend rules once more, as a person would write them with a general library: peers that have to give the same flags."""
