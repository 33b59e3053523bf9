"""What pulls logged beside power, torque and boost."""
