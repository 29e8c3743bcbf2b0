"""An invented yard, craft, job and products, and a real series of temperatures."""
