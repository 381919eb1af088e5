"""The commissioning sheet as a form that judges by itself what is typed into it."""
