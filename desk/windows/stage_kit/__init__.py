"""What the stages of a visit share: large controls, history, the panel of proof."""
