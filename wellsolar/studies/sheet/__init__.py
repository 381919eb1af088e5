"""The commissioning sheet: what is tested and read at handover, guards before what they guard."""
