"""What guards people, tank and wiring of hot water."""
