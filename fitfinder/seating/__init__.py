"""What seats where beside the work: in a tailstock, as a center, in a holder on the tool post."""
