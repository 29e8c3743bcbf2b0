"""Products: materials, their hazards and cautions, cure sheets and the gel law."""
