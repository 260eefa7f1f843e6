"""`fxstudio packets`: what a command station sends, byte by byte."""
